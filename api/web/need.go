package web

import (
	"net/http"

	"hardtack/api"
	"hardtack/pricing/calendar"
	"hardtack/route/brief"
	"hardtack/route/plan"
)

// needPage is one need through the season.
type needPage struct {
	Frame
	Name  string
	Unit  string
	Chart stockChart
	Rows  []stockRow
	UseBy []useByRow
}

type stockRow struct {
	Name              string
	Arrive, Depart    calendar.Day
	Arriving, Leaving float64
	Reserve           float64 // due on the next arrival
}

type useByRow struct {
	Day    calendar.Day
	Name   string
	Amount float64
}

// stockChart is the stock of a need in time, with the days some of it is past.
// Its table is the rows.
type stockChart struct {
	W, H        float64
	Area        string
	Months      []mark
	Ticks       []mark
	Rules       []span
	Reserves    []span
	UseBy       []mark
	Right, Left float64
}

const (
	stockW    = 640.0
	stockH    = 220.0
	stockLeft = 52.0
	stockBase = 190.0
	stockTop  = 24.0
)

func (s *site) getNeed(q *request) error {
	v, k, err := q.planned()
	if err != nil {
		return err
	}
	x, id := k.Value, q.r.PathValue("need")
	need, ok := findNeed(x.Brief, id)
	note, _ := x.Notes.Need(id)
	if !ok {
		return api.ErrNotFound
	}
	st := brief.StockOf(x.Brief, x.Plan, id)
	p := needPage{Name: q.words.need(note), Unit: q.words.Unit(need.Unit)}
	for i, stop := range x.Notes.Stops {
		row := stockRow{Name: stop.Name, Arrive: dayOf(x, stop.Arrive), Depart: dayOf(x, stop.Depart), Arriving: st.Arriving[i], Leaving: st.Leaving[i]}
		if i < len(need.Reserve) {
			row.Reserve = need.Reserve[i]
		}
		p.Rows = append(p.Rows, row)
	}
	for _, u := range st.UseBy {
		it, _ := x.Notes.Item(u.Item)
		p.UseBy = append(p.UseBy, useByRow{dayOf(x, u.Day), q.words.Item(it.Item, it.Name), u.Amount})
	}
	p.Chart = newStock(q.words, x, need, st)
	return q.show(http.StatusOK, "need", q.frame(q.say("need.page", p.Name), "season", v.ID), &p)
}

func findNeed(b plan.Brief, id string) (plan.Need, bool) {
	for _, n := range b.Needs {
		if n.ID == id {
			return n, true
		}
	}
	return plan.Need{}, false
}

func newStock(w *Words, x api.Planned, need plan.Need, st brief.Stock) stockChart {
	days, most := spanOf(x), 1e-9
	for i := range st.Leaving {
		most = max(most, st.Leaving[i], st.Arriving[i])
	}
	for _, r := range need.Reserve {
		most = max(most, r)
	}
	at := func(day float64) float64 { return px(stockLeft + (stockW-stockLeft-6)*day/days) }
	level := func(v float64) float64 { return px(stockBase - (stockBase-stockTop)*v/most) }
	c := stockChart{W: stockW, H: stockH, Left: stockLeft, Right: stockW - 6, Months: months(w, x.Notes.Start, days, at)}
	var d pen
	d.to('M', at(0), stockBase)
	for i, s := range x.Brief.Stops {
		d.to('L', at(s.Arrive), level(st.Arriving[i]))
		d.to('L', at(s.Depart), level(st.Leaving[i]))
		if i < len(need.Reserve) && need.Reserve[i] > 0 {
			to := x.Brief.Stops[i+1].Arrive
			c.Reserves = append(c.Reserves, span{at(s.Depart), level(need.Reserve[i]), at(to), level(need.Reserve[i])})
		}
	}
	d.to('L', at(days), stockBase)
	d.WriteByte('Z')
	c.Area = d.String()
	for step, v := niceStep(most, 4), 0.0; v <= most; v += step {
		c.Ticks = append(c.Ticks, mark{4, level(v) + 4, trim(v, 2)})
		c.Rules = append(c.Rules, span{stockLeft, level(v), stockW - 6, level(v)})
	}
	for i := range c.Months {
		c.Months[i].Y = stockH - 10
	}
	for _, u := range st.UseBy {
		c.UseBy = append(c.UseBy, mark{at(u.Day), stockTop - 14, trim(u.Amount, 2)})
	}
	return c
}
