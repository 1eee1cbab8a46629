package web

import (
	"net/http"
	"slices"
	"strconv"

	"hardtack/api"
	"hardtack/pricing/calendar"
	"hardtack/pricing/money"
	"hardtack/route/shopping"
)

// ashorePage is every stop with something to buy.
type ashorePage struct {
	Frame
	Search string
	Home   money.Currency
	Spend  float64
	Stops  []ashoreStop
}

type ashoreStop struct {
	Stop           int
	Name           string
	Arrive, Depart calendar.Day
	Things, Done   int
	Spend          float64
	Kg             float64
	Trips          int
	Begun          bool
}

func (s *site) getAshore(q *request) error {
	v, k, err := q.planned()
	if err != nil {
		return err
	}
	lists, err := q.svc.ListOf(k.Value, api.EveryStop)
	if err != nil {
		return err
	}
	f := q.frame(q.say("ashore.title"), "ashore", v.ID)
	p := ashorePage{Search: q.searchWords(&f, v.ID, k.Revision, v.Home), Home: lists.Home, Spend: lists.Spend}
	for _, l := range lists.Lists {
		d, err := q.svc.Draft(q.r.Context(), k.Value, l.Stop)
		if err != nil {
			return err
		}
		row := ashoreStop{Stop: l.Stop, Name: l.Name, Arrive: l.Arrive, Depart: l.Depart, Things: len(l.Lines), Spend: l.Spend.Expect, Kg: l.Kg, Trips: l.Trips}
		row.Begun = len(d.Value.Lines) > 0
		for _, x := range l.Lines {
			if slices.Contains(d.Value.Booked, x.Item) {
				row.Done++
			}
		}
		p.Stops = append(p.Stops, row)
	}
	return q.show(http.StatusOK, "ashore", f, &p)
}

// aislesPage is the order in which the skipper walks a shop.
type aislesPage struct {
	Frame
	Rows []aisleRow
	Back string
}

type aisleRow struct {
	N    int
	Name string
	Key  string
}

func (s *site) getAisles(q *request) error {
	order, err := q.svc.Aisles(q.r.Context())
	if err != nil {
		return err
	}
	p := aislesPage{Back: q.ownPath(q.text("back"))}
	for i, c := range order {
		p.Rows = append(p.Rows, aisleRow{i + 1, q.aisle(c), c})
	}
	return q.show(http.StatusOK, "aisles", q.frame(q.say("aisles.title"), "ashore", q.voyageHere()), &p)
}

// aisle is a category in words.
func (q *request) aisle(category string) string {
	if key := "aisle." + category; q.words.Has(key) {
		return q.say(key)
	}
	return category
}

// postAisles takes the order by the numbers beside the names; equal numbers
// keep the order they had.
func (s *site) postAisles(q *request) error {
	if err := q.form(); err != nil {
		return err
	}
	order, err := q.svc.Aisles(q.r.Context())
	if err != nil {
		return err
	}
	at := map[string]float64{}
	for i, c := range order {
		x, ok := q.number("at."+c, float64(i+1))
		if !ok {
			x = float64(i + 1)
		}
		at[c] = x
		if x < float64(i+1) {
			at[c] -= 0.5 // moved up: before what stood there
		} else if x > float64(i+1) {
			at[c] += 0.5
		}
	}
	slices.SortStableFunc(order, func(a, b string) int {
		switch {
		case at[a] < at[b]:
			return -1
		case at[a] > at[b]:
			return 1
		}
		return 0
	})
	if err := q.svc.PutAisles(q.r.Context(), order); err != nil {
		return err
	}
	http.Redirect(q.w, q.r, q.ownPath(q.text("back")), http.StatusSeeOther)
	return nil
}

// stopNumber is the stop of a path.
func (q *request) stopNumber() (int, error) {
	n, err := strconv.Atoi(q.r.PathValue("stop"))
	if err != nil || n < 0 {
		return 0, api.ErrNotFound
	}
	return n, nil
}

// listOf is the list of the stop in the path, and its draft.
func (q *request) listOf() (shopping.List, api.Kept[api.Draft], api.Planned, error) {
	stop, err := q.stopNumber()
	if err != nil {
		return shopping.List{}, api.Kept[api.Draft]{}, api.Planned{}, err
	}
	voyage := q.r.PathValue("voyage")
	k, err := q.svc.LastPlan(q.r.Context(), voyage)
	if err != nil {
		return shopping.List{}, api.Kept[api.Draft]{}, api.Planned{}, err
	}
	lists, err := q.svc.ListOf(k.Value, stop)
	if err != nil {
		return shopping.List{}, api.Kept[api.Draft]{}, api.Planned{}, err
	}
	note := k.Value.Notes.Stops[stop]
	l := shopping.List{Stop: stop, Port: note.Port, Name: note.Name, Home: lists.Home, Currency: note.Currency,
		Arrive: dayOf(k.Value, note.Arrive), Depart: dayOf(k.Value, note.Depart)}
	if len(lists.Lists) > 0 {
		l = lists.Lists[0]
	}
	d, err := q.svc.Draft(q.r.Context(), k.Value, stop)
	return l, d, k.Value, err
}
