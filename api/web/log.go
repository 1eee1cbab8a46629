package web

import (
	"cmp"
	"errors"
	"net/http"
	"slices"

	"hardtack/api"
	"hardtack/pricing"
	"hardtack/pricing/calendar"
	"hardtack/pricing/measure"
	"hardtack/route/logbook"
)

// logPage is the passage day by day, exceptions only.
type logPage struct {
	Frame
	Kinds                          []choice
	Amount, Place, Item, Note, Day string // as typed
	Rows                           []logRow
	Like                           []choice
	Faults                         []string
	Done                           string
}

type logRow struct {
	Day                             calendar.Day
	What, Amount, Name, Place, Note string
}

// kindKeys are the words of the kinds of entry.
var kindKeys = map[logbook.Kind]string{
	logbook.WaterLevel: "water_level", logbook.WaterFilled: "water_filled", logbook.WaterMade: "water_made", logbook.Rain: "rain",
	logbook.WaterLost: "water_lost", logbook.GasSwap: "gas_swap", logbook.GasFilled: "gas_filled", logbook.Guests: "guests",
	logbook.Ashore: "ashore", logbook.Temperature: "temperature", logbook.Sailed: "passage", logbook.FridgeOff: "fridge_off", logbook.PestSeen: "pest",
	logbook.Condition: "condition", logbook.Wanted: "wanted", logbook.Kept: "plan", logbook.Remark: "remark",
}

func (s *site) getLog(q *request) error {
	return q.showLog(http.StatusOK, &logPage{Done: q.doneWords(), Day: q.svc.Today().String(), Item: q.text("item"), Place: q.text("place")}, logbook.Kind(q.text("kind")))
}

func (q *request) showLog(status int, p *logPage, on logbook.Kind) error {
	v, _, err := q.vessel()
	if err != nil {
		return err
	}
	for _, k := range logbook.Kinds() {
		p.Kinds = append(p.Kinds, choice{string(k), q.say("log." + kindKeys[k]), k == cmp.Or(on, logbook.Remark)})
	}
	log, err := q.svc.Log(q.r.Context(), v.ID, 0, 0)
	if err != nil {
		return err
	}
	f := q.aboardFrame("log.title")
	slices.SortStableFunc(log, func(a, b logbook.Entry) int { return int(b.Day) - int(a.Day) })
	for _, e := range log[:min(len(log), 100)] {
		p.Rows = append(p.Rows, q.logRow(&f, e))
	}
	return q.show(status, "log", f, p)
}

func (q *request) logRow(f *Frame, e logbook.Entry) logRow {
	row := logRow{Day: e.Day, What: q.say("log." + kindKeys[e.Kind]), Name: string(e.Item), Place: q.placeName(e.Place), Note: e.Note}
	if i, err := q.svc.Item(e.Item); err == nil {
		row.Name = q.words.Item(e.Item, i.Name)
	}
	switch e.Kind {
	case logbook.WaterLevel, logbook.WaterFilled, logbook.WaterMade, logbook.Rain, logbook.WaterLost:
		row.Amount = f.Much(e.Amount, measure.Litre)
	case logbook.GasSwap, logbook.GasFilled:
		row.Amount = f.Much(e.Amount, measure.Kilogram)
	case logbook.Temperature:
		row.Amount = f.point(trim(e.Amount, 1)) + " °C"
	case logbook.Guests, logbook.Ashore, logbook.FridgeOff, logbook.Sailed:
		row.Amount = f.point(trim(e.Amount, 1))
	}
	return row
}

// postLog writes an entry; back says which page it was sent from.
func (s *site) postLog(q *request) error {
	if err := q.form(); err != nil {
		return err
	}
	v, _, err := q.vessel()
	if err != nil {
		return err
	}
	p := &logPage{Amount: q.text("amount"), Place: q.text("place"), Item: q.text("item"), Note: q.text("note"), Day: q.text("day")}
	e := logbook.Entry{Kind: logbook.Kind(q.text("kind")), Place: p.Place, Note: p.Note}
	again := func(faults ...string) error {
		p.Faults = faults
		return q.showLog(http.StatusUnprocessableEntity, p, e.Kind)
	}
	var ok bool
	if e.Amount, ok = q.number("amount", 0); !ok {
		return again(q.say("log.fault"))
	}
	if p.Day != "" {
		if e.Day, err = calendar.Parse(p.Day); err != nil {
			return again(q.say("start.fault.day"))
		}
	}
	if p.Item != "" {
		id, like := q.itemMeant(p.Item)
		if id == "" {
			p.Like = like
			return again(q.say("prices.nothing", p.Item))
		}
		e.Item = pricing.ItemID(id)
	}
	_, err = q.svc.AddLog(q.r.Context(), v.ID, e)
	var invalid *api.InvalidError
	if errors.As(err, &invalid) {
		return again(q.faultLines(invalid)...)
	}
	if err != nil {
		return err
	}
	return q.goTo("aboard", "log?did=noted")
}
