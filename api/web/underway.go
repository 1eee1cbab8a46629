package web

import (
	"errors"
	"net/http"
	"slices"

	"hardtack/api"
	"hardtack/pricing/calendar"
	"hardtack/pricing/money"
	"hardtack/route/plan"
)

// underwayPage plans the rest of a voyage from a day on, and shows what that
// changes before it is gone by.
type underwayPage struct {
	Frame
	Day       string
	AsPlanned bool
	Bought    bool
	Spaces    []choice // those that have failed are on
	Faults    []string
	Links     []link

	Planned  bool // there is something to look at
	Accepted bool
	Home     money.Currency
	From     calendar.Day
	Goods    float64
	Trips    float64
	Missing  float64
	Bother   float64 // second choices and lines to fetch
	Total    float64
	Kept     float64 // what keeping to the old lists would count; 0 = not known
	Over     float64 // by how much a plan was found cheaper that changes more
	Moved    float64
	Share    float64
	Changes  []changedList
	Gone     int // things that were to be bought at stops left out
}

// changedList is what changes on the shopping list of a stop.
type changedList struct {
	Stop string
	Rows []changeRow
}

// changeRow is one line of a list that changes.
type changeRow struct {
	What, Before, After string
	Money               float64
}

// underwayWork is how long the page looks at first, some two to ten seconds of a season in all.
const underwayWork = 300_000

func (s *site) getUnderway(q *request) error {
	return q.showUnderway(http.StatusOK, api.ReplanOptions{Day: q.svc.Today()}, &underwayPage{})
}

func (s *site) postUnderway(q *request) error {
	if err := q.form(); err != nil {
		return err
	}
	o := api.ReplanOptions{
		AsPlanned: q.text("aboard") == "planned", Bought: q.text("bought") != "", Lost: q.r.Form["lost"], Accept: q.text("do") == "accept",
		Budget: plan.Budget{Work: underwayWork},
	}
	if work := q.opts.Plan.Work; work > 0 {
		o.Budget.Work = min(o.Budget.Work, work)
	}
	p := &underwayPage{}
	if !readDay(&o.Day, q.text("day")) {
		p.Faults = []string{q.say("underway.day.fault", q.text("day"))}
		return q.showUnderway(http.StatusUnprocessableEntity, o, p)
	}
	r, err := q.svc.Replan(q.r.Context(), q.r.PathValue("voyage"), o)
	var invalid *api.InvalidError
	if errors.As(err, &invalid) {
		p.Faults = q.faultLines(invalid)
		return q.showUnderway(http.StatusUnprocessableEntity, o, p)
	}
	if err != nil {
		return err
	}
	q.fillUnderway(p, r)
	return q.showUnderway(http.StatusOK, o, p)
}

func (q *request) showUnderway(status int, o api.ReplanOptions, p *underwayPage) error {
	v, k, err := q.planned()
	if err != nil {
		return err
	}
	p.Day, p.AsPlanned, p.Bought, p.Home = dayText(o.Day), o.AsPlanned, o.Bought, v.Home
	for _, sp := range k.Value.Notes.Spaces {
		p.Spaces = append(p.Spaces, choice{sp.ID, q.say("space." + sp.ID), slices.Contains(o.Lost, sp.ID)})
	}
	p.Links = []link{
		{q.at("voyage", v.ID, "edit"), q.say("season.edit")}, {q.at("boat"), q.say("underway.crew")}, {q.at("aboard", "count"), q.say("underway.count")},
	}
	return q.show(status, "underway", q.frame(q.say("underway.title"), "season", v.ID), p)
}

func (q *request) fillUnderway(p *underwayPage, r api.Replanned) {
	f := q.frame("", "", "")
	x, d := r.Planned, r.Difference
	p.Planned, p.Accepted, p.From = true, r.Accepted, x.Notes.Start
	p.Goods, p.Trips, p.Missing, p.Total = x.Plan.Cost.Goods, x.Plan.Cost.Trips, x.Plan.Cost.Missing+x.Plan.Cost.ReserveMissing, x.Plan.Cost.Total
	p.Bother = x.Plan.Cost.Taste + x.Plan.Cost.Lines
	p.Moved, p.Share, p.Gone = d.Moved, d.Share, len(d.Gone)
	if d.Kept != nil {
		p.Kept = d.Kept.Total
	}
	if over := d.Cost.Total - d.Best; over >= 0.5 {
		p.Over = over
	}
	for k, c := range d.Changes {
		if k == 0 || c.Stop != d.Changes[k-1].Stop {
			p.Changes = append(p.Changes, changedList{Stop: x.Notes.Stops[c.Stop].Name})
		}
		list := &p.Changes[len(p.Changes)-1]
		note, _ := x.Notes.Item(c.Item)
		list.Rows = append(list.Rows, changeRow{q.words.Item(note.Item, note.Name), f.Much(c.Before, note.Unit), f.Much(c.After, note.Unit), c.Money})
	}
}
