package web

import (
	"errors"
	"fmt"
	"net/http"

	"hardtack/api"
	"hardtack/pricing/measure"
	"hardtack/route/tankage"
)

// tanksPage is how water and gas stand.
type tanksPage struct {
	Frame
	Days       string
	Ocean, Bad bool
	Passage    bool // there is one to reckon with
	Water, Gas tankRow
	Doses      []doseRow
	Needs      []needFigure
	Notes      []string // of gas
	Refills    []string // what was noted of refills
	TooLittle  bool     // less was learned than anybody lives on
	Cylinders  []cylinderRow
	Done       string
}

type tankRow struct {
	Name                   string
	Aboard, Rate, SD, List string
	People                 string
	Trips                  int
	Lasts                  []string // days at 50, 90 and 99 %
	Rows                   []endureRow
}

type endureRow struct {
	Chance, Days, Uses, Left, Enough string
	Short                            bool
}

type doseRow struct{ Percent, PerLitre, PerGallon string }

type needFigure struct{ About, Range, Source string }

type cylinderRow struct {
	Kg, Left string
	InUse    bool
}

func (s *site) getTanks(q *request) error {
	v, _, err := q.vessel()
	if err != nil {
		return err
	}
	p := &tanksPage{Days: q.text("days"), Ocean: q.text("ocean") != "", Done: q.doneWords()}
	o := api.TankOptions{Voyage: q.voyageHere(), Ocean: p.Ocean}
	if c, _, err := q.crew(); err == nil {
		o.Crew = c.ID
	}
	var ok bool
	if o.Days, ok = q.number("days", 0); !ok || o.Days < 0 || o.Days >= 1000 {
		o.Days, p.Bad = 0, true
	}
	f := q.aboardFrame("tanks.title")
	if err := q.tanks(&f, p, v.ID, o); err != nil {
		return err
	}
	for n, c := range v.Cylinders {
		p.Cylinders = append(p.Cylinders, cylinderRow{f.Much(c.Kg, measure.Kilogram), f.Percent(c.Full), n == 0})
	}
	return q.show(http.StatusOK, "tanks", f, p)
}

// someDays is the passage reckoned with when no voyage has one to come.
const someDays = 7

func (q *request) tanks(f *Frame, p *tanksPage, boat string, o api.TankOptions) error {
	water, err := q.svc.Water(q.r.Context(), boat, o)
	var invalid *api.InvalidError
	if errors.As(err, &invalid) && o.Days == 0 {
		o.Days, p.Days = someDays, trim(someDays, 0)
		water, err = q.svc.Water(q.r.Context(), boat, o)
	}
	if err != nil {
		return err
	}
	gas, err := q.svc.Gas(q.r.Context(), boat, o)
	if err != nil {
		return err
	}
	p.Water = q.tankRow(f, q.say("tanks.water"), water, measure.Litre)
	p.Gas = q.tankRow(f, q.say("tanks.gas"), gas, measure.Kilogram)
	p.TooLittle = water.Trips > 0 && water.Rate < tankage.Least
	for _, d := range water.Doses {
		p.Doses = append(p.Doses, doseRow{f.point(d.Percent), f.Num(d.PerLitre, 1), f.Num(d.PerGal, 0)})
	}
	for n, x := range water.Needs {
		row := needFigure{q.say(numbered("water.need", n)), f.point(trim(x.Low, 1)), x.Source}
		if x.High != x.Low {
			row.Range += "–" + f.point(trim(x.High, 1))
		}
		p.Needs = append(p.Needs, row)
	}
	fixed := len(tankage.GasNotes())
	for n := range fixed {
		p.Notes = append(p.Notes, q.say(numbered("gas.note", n)))
	}
	p.Refills = gas.Notes[fixed:]
	return nil
}

func (q *request) tankRow(f *Frame, name string, t api.Tank, u measure.Unit) tankRow {
	row := tankRow{
		Name:   name,
		Aboard: f.Much(significant(t.Aboard), u), Rate: f.Much(significant(t.Rate), u), SD: f.Much(significant(t.SD), u),
		List: f.Much(significant(t.List), u), People: f.Num(t.People, 0), Trips: t.Trips,
	}
	for _, days := range []float64{t.Lasts50, t.Lasts90, t.Lasts99} {
		row.Lasts = append(row.Lasts, q.lasts(f, days))
	}
	for _, e := range t.Passage {
		row.Rows = append(row.Rows, endureRow{
			f.Percent(e.Chance), f.Num(e.Days, 0), f.Much(significant(e.Uses), u), f.signed(e.Left, u), f.Percent(floored(e.Enough)), e.Left < 0 || e.Enough < 0.9,
		})
	}
	return row
}

// floored is a chance cut to whole per cent, so that nothing short of certain
// reads as certain.
func floored(x float64) float64 { return float64(int(100*x)) / 100 }

func (q *request) lasts(f *Frame, days float64) string {
	if days >= 1000 {
		return q.say("tanks.long")
	}
	return f.Num(float64(int(days)), 0)
}

// signed is an amount that may be missing.
func (f *Frame) signed(x float64, u measure.Unit) string {
	if x < 0 {
		return "−" + f.Much(significant(-x), u)
	}
	return f.Much(significant(x), u)
}

// numbered is the key of one of several texts.
func numbered(key string, n int) string { return fmt.Sprintf("%s.%d", key, n) }
