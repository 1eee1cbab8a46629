package web

import (
	"cmp"
	"errors"
	"net/http"
	"slices"

	"hardtack/api"
	"hardtack/pricing/calendar"
	"hardtack/pricing/money"
	"hardtack/route"
	"hardtack/route/brief"
)

// seasonPage is a voyage with its plan.
type seasonPage struct {
	Frame
	Others  []link // seasons kept beside this one
	Begun   bool   // just now, on the start page
	Planned bool
	Search  string
	Stale   bool // something was changed since the plan was made
	Dangers []string
	Home    money.Currency
	Figures figures
	Sheet   sheetChart
	Map     mapChart
	Closer  []link // where stops lie close together
	Spend   barChart
	Habits  []habitRow
	Binds   []string // what limits the plan
	Asked   bool     // that was worked out
	Stops   []stopRow
	Missing []string // a tenth of a need and more
	Little  []string // less than that
	Needs   []link   // each with its stock through the season
	Doubts  []string
	Said    []string
}

type link struct{ To, Label string }

// figures are the plan in a few numbers.
type figures struct {
	Goods, PerDay, Trips, GuessShare, Gap, Lost, Left, Total, Bound float64
	PersonDays                                                      float64
	Made                                                            calendar.Day
}

type habitRow struct {
	Name          string
	Spent, Dearer float64
	Short         float64 // counted beyond the plan's own
}

// stopRow is one call with what is done there.
type stopRow struct {
	N              int
	Stop           int // of the brief
	Name, Port     string
	Arrive, Depart calendar.Day
	Trips, Lines   int
	Kg, Spend      float64
	Crew           float64
	Fill           []float64 // litres by space on leaving
}

func (s *site) getSeason(q *request) error {
	v, err := q.voyage()
	if err != nil {
		return err
	}
	return s.showSeason(q, v)
}

// postPlan plans anew.
func (s *site) postPlan(q *request) error {
	v, err := q.voyage()
	if err != nil {
		return err
	}
	if _, err := q.svc.Plan(q.r.Context(), v.ID, q.opts.Plan); err != nil {
		return err
	}
	return q.goTo("voyage", v.ID)
}

func (s *site) showSeason(q *request, v route.Voyage) error {
	p := seasonPage{Home: v.Home, Begun: q.text("begun") != ""}
	if err := q.others(v.ID, &p); err != nil {
		return err
	}
	k, err := q.svc.LastPlan(q.r.Context(), v.ID)
	switch {
	case errors.Is(err, api.ErrNotFound):
	case err != nil:
		return err
	default:
		p.Planned = true
		f := q.frame("", "", "")
		p.Search = q.searchWords(&f, v.ID, k.Revision, v.Home)
		if err := q.fillSeason(&p, v, k.Value); err != nil {
			return err
		}
		p.Binds, p.Asked = q.binds(k)
		if p.Stale, err = q.stale(v.ID, k.Revision); err != nil {
			return err
		}
	}
	title := v.Name
	if title == "" {
		title = v.ID
	}
	return q.show(http.StatusOK, "season", q.frame(title, "season", v.ID), &p)
}

func (q *request) others(but string, p *seasonPage) error {
	all, err := q.svc.Voyages(q.r.Context())
	for _, k := range all {
		if k.Value.ID != but {
			p.Others = append(p.Others, link{q.at("voyage", k.Value.ID), cmp.Or(k.Value.Name, k.Value.ID)})
		}
	}
	return err
}

func (q *request) fillSeason(p *seasonPage, v route.Voyage, x api.Planned) error {
	f := q.frame("", "", "")
	r, c := x.Review, x.Plan.Cost
	p.Dangers = q.dangers(x)
	p.Figures = figures{
		Goods: c.Goods, Trips: c.Trips, GuessShare: r.GuessShare, Gap: x.Plan.Gap, Left: r.Left, Total: c.Total, Bound: x.Plan.Bound,
		PersonDays: r.PersonDays, Made: x.Made, Lost: lost(r.Surrendered) + lost(r.Spoilt),
	}
	if r.PersonDays > 0 {
		p.Figures.PerDay = c.Goods / r.PersonDays
	}
	levels := brief.LevelsOf(x.Brief, x.Plan)
	p.Stops = stopRows(x, levels)
	p.Sheet = q.newSheet(&f, x, p.Stops, levels)
	var err error
	if p.Map, err = q.chartOf(v, p.Stops, closer{}); err != nil {
		return err
	}
	p.Closer = q.crowdedLinks(v.ID, p.Map)
	p.Spend = spendBars(&f, p.Stops, p.Home)
	p.Habits = q.habits(x)
	for _, l := range x.Lacking() {
		to := &p.Little
		if l.Missing >= 0.1*l.Use {
			to = &p.Missing
		}
		*to = append(*to, q.say("season.lacking", f.Num(l.Missing, 1), f.Num(l.Use, 1), f.Unit(l.Unit), q.needName(x, l.Need), f.Date(firstLacking(x, l.Need))))
	}
	for _, n := range x.Notes.Needs {
		p.Needs = append(p.Needs, link{q.at("voyage", v.ID, "need", n.ID), q.words.need(n)})
	}
	slices.SortFunc(p.Needs, func(a, b link) int { return cmp.Compare(a.Label, b.Label) })
	p.Doubts, p.Said = q.doubts(&f, x), f.TellAll(x.Notes.Said)
	return nil
}
