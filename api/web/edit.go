package web

import (
	"errors"
	"fmt"
	"net/http"
	"strconv"

	"hardtack/api"
	"hardtack/pricing/calendar"
	"hardtack/pricing/money"
	"hardtack/route"
)

// editPage is a voyage's stops to change, and after a change what it made of
// the plan.
type editPage struct {
	Frame
	Faults   []string
	Revision int64
	Name     string
	Home     money.Currency
	Rows     []editRow
	New      routeRow // a port to put in
	After    int      // behind this row
	Changed  bool
	Diff     api.Difference
}

// editRow is one stop; Was is its number as kept.
type editRow struct {
	N, Was         int
	Port           string
	Arrive, Depart string
	Days, Ashore   string
	NoShops        bool
}

func (s *site) getEdit(q *request) error {
	k, err := q.svc.Voyage(q.r.Context(), q.r.PathValue("voyage"))
	if err != nil {
		return err
	}
	p, err := q.editPage(k)
	if err != nil {
		return err
	}
	return q.showEdit(http.StatusOK, k.Value, p)
}

func (q *request) showEdit(status int, v route.Voyage, p *editPage) error {
	return q.show(status, "edit", q.frame(q.say("edit.title", v.Name), "season", v.ID), p)
}

func (q *request) editPage(k api.Kept[route.Voyage]) (*editPage, error) {
	g, err := q.svc.Gazetteer(q.r.Context())
	if err != nil {
		return nil, err
	}
	p := &editPage{Revision: k.Revision, Name: k.Value.Name, Home: k.Value.Home, After: len(k.Value.Stops) - 1}
	for i, s := range k.Value.Stops {
		at, _ := g.Port(s.Port)
		row := editRow{N: i, Was: i, Port: at.Name, Arrive: dayText(s.Arrive), Depart: dayText(s.Depart), NoShops: s.NoShops}
		if s.StayDays > 0 {
			row.Days = trim(s.StayDays, 1)
		}
		if s.Ashore > 0 {
			row.Ashore = trim(100*s.Ashore, 0)
		}
		p.Rows = append(p.Rows, row)
	}
	return p, nil
}

func (s *site) postEdit(q *request) error {
	if err := q.form(); err != nil {
		return err
	}
	k, err := q.svc.Voyage(q.r.Context(), q.r.PathValue("voyage"))
	if err != nil {
		return err
	}
	p, err := q.editPage(k)
	if err != nil {
		return err
	}
	v := q.edited(k.Value, p)
	if err := q.putIn(&v, p); err != nil {
		return err
	}
	if len(p.Faults) > 0 || len(p.New.Choices) > 0 {
		return q.showEdit(http.StatusUnprocessableEntity, v, p)
	}
	return q.replan(v, p)
}

// replan keeps the changed voyage, plans it, and shows what that changed.
func (q *request) replan(v route.Voyage, p *editPage) error {
	before, err := q.svc.LastPlan(q.r.Context(), v.ID)
	if err != nil && !errors.Is(err, api.ErrNotFound) {
		return err
	}
	was := err == nil
	revision, err := strconv.ParseInt(q.text("revision"), 10, 64)
	if err != nil {
		return fmt.Errorf("%w: revision", errUnreadable)
	}
	kept, err := q.svc.PutVoyage(q.r.Context(), v, revision)
	var invalid *api.InvalidError
	if errors.As(err, &invalid) {
		p.Faults = q.faultLines(invalid)
		return q.showEdit(http.StatusUnprocessableEntity, v, p)
	}
	if err != nil {
		return err
	}
	if was && q.svc.Today() > before.Value.Notes.Start { // the rest of it, from what is aboard now
		return q.goTo("voyage", v.ID, "under-way")
	}
	after, err := q.svc.Plan(q.r.Context(), v.ID, q.opts.Plan)
	if err != nil {
		return err
	}
	done, err := q.editPage(kept)
	if err != nil {
		return err
	}
	if was {
		done.Changed, done.Diff = true, api.Compare(before.Value, after.Value)
		done.Diff.Lines = done.Diff.Lines[:min(len(done.Diff.Lines), maxDiff)]
		for i := range done.Diff.Lines {
			l := &done.Diff.Lines[i]
			l.ItemName = q.words.Item(l.Item, l.ItemName)
		}
	}
	return q.showEdit(http.StatusOK, v, done)
}

// maxDiff is how many changed lines are shown.
const maxDiff = 40

// edited is the voyage as the form has it. What the form does not ask for
// stays. What cannot be read is a fault, and the row keeps what was typed.
func (q *request) edited(v route.Voyage, p *editPage) route.Voyage {
	if name := q.text("name"); name != "" {
		v.Name, p.Name = name, name
	}
	var stops []route.Stop
	for i := range p.Rows {
		row, key := &p.Rows[i], strconv.Itoa(i)
		row.Arrive, row.Depart, row.Days, row.Ashore = q.text("arrive"+key), q.text("depart"+key), q.text("days"+key), q.text("ashore"+key)
		row.NoShops = q.text("noshops"+key) != ""
		stop := v.Stops[row.Was]
		ok := readDay(&stop.Arrive, row.Arrive) && readDay(&stop.Depart, row.Depart)
		days, fine := q.number("days"+key, 0)
		ashore, fine2 := q.number("ashore"+key, 0)
		if !ok || !fine || !fine2 {
			p.Faults = append(p.Faults, q.say("edit.fault", i+1, row.Port))
		}
		stop.StayDays, stop.Ashore, stop.NoShops = days, ashore/100, row.NoShops
		if q.text("out"+key) == "" {
			stops = append(stops, stop)
		}
	}
	v.Stops = stops
	return v
}

func readDay(to *calendar.Day, text string) bool {
	if text == "" {
		*to = 0
		return true
	}
	d, err := calendar.Parse(text)
	*to = d
	return err == nil
}

// putIn puts a new port behind a stop, or asks which is meant.
func (q *request) putIn(v *route.Voyage, p *editPage) error {
	p.New = routeRow{N: 0, Text: q.text("port0"), ID: q.text("id0"), Days: q.text("days_new")}
	after, _ := q.number("after", float64(p.After))
	p.After = min(max(int(after), 0), len(v.Stops)-1)
	if p.New.Text == "" {
		return nil
	}
	g, err := q.svc.Gazetteer(q.r.Context())
	if err != nil {
		return err
	}
	at, ok := q.meant(g, &p.New)
	if !ok {
		if len(p.New.Choices) == 0 {
			p.Faults = append(p.Faults, p.New.Fault)
		}
		return nil
	}
	days, _ := q.number("days_new", defaultStay)
	stop := route.Stop{Port: at.ID, StayDays: days}
	stops := append([]route.Stop{}, v.Stops[:p.After+1]...)
	v.Stops = append(append(stops, stop), v.Stops[p.After+1:]...)
	return nil
}
