package web

import (
	"net/http"
)

// usedPage is what the crew really uses, beside the list.
type usedPage struct {
	Frame
	PersonDays string // of the season it is worded for
	Bad        bool
	Rows       []usedRow
	Appetite   string
}

type usedRow struct {
	Name, Rate, SD, List, Change, Words string
	Trips                               int
}

func (s *site) getUsed(q *request) error {
	v, _, err := q.vessel()
	if err != nil {
		return err
	}
	c, _, err := q.crew()
	if err != nil {
		return err
	}
	days, ok := q.number("days", 0)
	if !ok || days < 0 || days > 1e6 {
		days, ok = 0, false
	}
	used, err := q.svc.Usage(q.r.Context(), v.ID, c.ID, days)
	if err != nil {
		return err
	}
	f := q.aboardFrame("used.title")
	p := &usedPage{Bad: !ok, PersonDays: q.text("days")}
	for _, l := range used.Learned {
		rate := func(x float64) string { return f.Much(significant(x), l.Unit) }
		row := usedRow{Name: q.words.Need(l.Need, l.Name), Rate: rate(l.Rate), SD: rate(l.SD), List: rate(l.List), Trips: l.Trips, Words: f.Tell(l.Said)}
		if !l.Right && l.Change < 0 {
			row.Change = "−" + rate(-l.Change)
		} else if !l.Right {
			row.Change = "+" + rate(l.Change)
		}
		p.Rows = append(p.Rows, row)
	}
	if a := used.Appetite; a.Needs > 0 {
		p.Appetite = q.words.Count("used.appetite", a.Needs, f.Num(a.Factor, 2), f.Num(a.SD, 2), f.Percent(a.Trust))
	}
	return q.show(http.StatusOK, "used", f, p)
}
