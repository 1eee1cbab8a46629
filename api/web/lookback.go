package web

import (
	"bytes"
	"net/http"
	"strings"

	"hardtack/api"
	"hardtack/pricing"
	"hardtack/pricing/calendar"
	"hardtack/route/review"
)

// lookbackPage is a stretch of the season looked back on.
type lookbackPage struct {
	Frame
	From, To       string
	Faults         []string
	PersonDays     float64
	Spent, PerDay  string
	Unpriced       int
	Litres, Water  string
	Needs          []lookNeed
	Lost           []lookLost
	Bargains       []lookBargain
	WalkAway       string
	Ledger         []lookAccount
	Learned, Marks []string
	Tables         []link
}

type lookNeed struct {
	Name, Actual, List string
	RanOut             bool
}

type lookLost struct{ Cause, Place, Kg, Worth, Items string }

type lookBargain struct {
	Name, Price, Others, Saved string
	Day                        calendar.Day
	Dear                       bool
}

type lookAccount struct {
	Party string
	Rows  []lookTrade
}

type lookTrade struct {
	Name, Given, Got, Owed string
	WeOwe                  bool
}

func (q *request) lookOptions(p *lookbackPage) api.ReviewOptions {
	o := api.ReviewOptions{}
	if c, _, err := q.crew(); err == nil {
		o.Crew = c.ID
	}
	for _, x := range []struct {
		text string
		to   *calendar.Day
	}{{p.From, &o.From}, {p.To, &o.To}} {
		if x.text == "" {
			continue
		}
		d, err := calendar.Parse(x.text)
		if err != nil {
			p.Faults = []string{q.say("start.fault.day")}
		}
		*x.to = d
	}
	return o
}

func (s *site) getLookback(q *request) error {
	v, _, err := q.vessel()
	if err != nil {
		return err
	}
	p := &lookbackPage{From: q.text("from"), To: q.text("to")}
	o := q.lookOptions(p)
	f := q.aboardFrame("lookback.title")
	for _, name := range []string{"aboard", "book", "counts", "usage", "log", "needs", "lost", "ledger"} {
		p.Tables = append(p.Tables, link{q.at("aboard", "export", name+".csv"), q.say("table." + name)})
	}
	if len(p.Faults) > 0 {
		return q.show(http.StatusUnprocessableEntity, "lookback", f, p)
	}
	r, err := q.svc.Review(q.r.Context(), v.ID, o)
	if err != nil {
		return err
	}
	q.fillLookback(&f, p, r)
	used, err := q.svc.Usage(q.r.Context(), v.ID, o.Crew, r.PersonDays)
	if err != nil {
		return err
	}
	for _, l := range used.Learned {
		p.Learned = append(p.Learned, f.Tell(l.Said))
	}
	return q.show(http.StatusOK, "lookback", f, p)
}

func (q *request) fillLookback(f *Frame, p *lookbackPage, r review.Review) {
	if p.From == "" {
		p.From = r.From.String()
	}
	if p.To == "" {
		p.To = r.To.String()
	}
	p.PersonDays, p.Unpriced = r.PersonDays, r.Unpriced
	p.Spent, p.PerDay = f.Num(r.Spent, 2), f.Num(r.PerDay, 2)
	p.Litres, p.Water = f.Volume(r.Litres), f.Volume(r.WaterL)
	for _, n := range r.Needs {
		p.Needs = append(p.Needs, lookNeed{q.words.Need(n.Need, n.Name), f.Much(significant(n.Actual), n.Unit), f.Much(significant(n.List), n.Unit), n.RanOut})
	}
	for _, l := range r.Lost {
		p.Lost = append(p.Lost, lookLost{q.say("cause." + string(l.Cause)), q.placeName(l.Place), f.Mass(l.Kg), f.Num(l.Worth, 2), q.goodsNames(l.Goods)})
	}
	for _, b := range r.Bargains[:min(len(r.Bargains), 20)] {
		p.Bargains = append(p.Bargains, lookBargain{q.words.Item(b.Item, b.Name), f.Num(b.Price, 2), f.Num(b.Other, 2), f.Num(max(b.Saved, -b.Saved), 2), b.Day, b.Saved < 0})
	}
	if w := r.WalkAway; w.Kept+w.Over > 0 {
		p.WalkAway = q.say("look.walk", w.Kept, w.Kept+w.Over, f.Num(w.Saved, 2))
		if w.Over > 0 {
			p.WalkAway += " " + q.say("look.walk.over", w.Over, f.Num(w.Cost, 2))
		}
		if w.Again > 0 {
			p.WalkAway += " " + q.say("look.walk.again", w.Again, w.Dearer)
		}
	}
	for _, a := range r.Ledger {
		p.Ledger = append(p.Ledger, q.account(f, a))
	}
	for _, m := range r.Marks {
		if i, err := q.svc.Item(m.Item); err == nil {
			p.Marks = append(p.Marks, q.words.Item(m.Item, i.Name)+": "+q.say("marked."+strings.ReplaceAll(string(m.Mark), " ", "_")))
		}
	}
}

// goodsNames are the names of items, with commas between.
func (q *request) goodsNames(ids []pricing.ItemID) string {
	names := make([]string, len(ids))
	for k, id := range ids {
		i, err := q.svc.Item(id)
		if err != nil {
			i.Name = string(id)
		}
		names[k] = q.words.Item(id, i.Name)
	}
	return strings.Join(names, ", ")
}

func (q *request) account(f *Frame, a review.Account) lookAccount {
	out := lookAccount{Party: a.Party}
	if out.Party == "" {
		out.Party = q.say("look.somebody")
	}
	for _, t := range a.Lines {
		row := lookTrade{Name: q.words.Item(t.Item, t.Name)}
		if t.Given > 0 {
			row.Given = f.Much(t.Given.Units(), t.Unit)
		}
		if t.Got > 0 {
			row.Got = f.Much(t.Got.Units(), t.Unit)
		}
		if owed := t.TheyOwe.Units(); owed != 0 {
			row.Owed, row.WeOwe = f.Much(max(owed, -owed), t.Unit), owed < 0
		}
		out.Rows = append(out.Rows, row)
	}
	return out
}

// getExport is one table as CSV, or all as a spreadsheet.
func (s *site) getExport(q *request) error {
	v, _, err := q.vessel()
	if err != nil {
		return err
	}
	tables, err := q.svc.Tables(q.r.Context(), v.ID, q.lookOptions(&lookbackPage{}))
	if err != nil {
		return err
	}
	var b bytes.Buffer
	name, kind := q.r.PathValue("file"), "text/csv; charset=utf-8"
	if name == "season.xlsx" {
		kind = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"
		err = api.WriteXLSX(&b, tables)
	} else {
		err = api.ErrNotFound
		for _, t := range tables {
			if t.Name+".csv" == name {
				err = t.WriteCSV(&b)
			}
		}
	}
	if err != nil {
		return err
	}
	q.w.Header().Set("Content-Type", kind)
	q.w.Header().Set("Content-Disposition", `attachment; filename="`+name+`"`)
	send(q.w, q.r, http.StatusOK, b.Bytes(), zipped(b.Bytes()), fingerprint(b.Bytes()))
	return nil
}
