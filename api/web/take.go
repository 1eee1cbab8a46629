package web

import (
	"context"
	"encoding/json"
	"errors"
	"math"
	"net/http"
	"time"

	"hardtack/api"
	"hardtack/pricing"
	"hardtack/pricing/measure"
	"hardtack/pricing/money"
	"hardtack/route/shopping"
)

// taking is what the plan says to a price typed at the shelf.
type taking struct {
	Now  string   `json:"now"`   // how many to take; nothing when it is not known yet
	Else []string `json:"else"`  // what else changes in the season
	UpTo string   `json:"up_to"` // up to which price it is worth taking at all
}

// How long a page works on that before it is shown without.
const (
	takeTime = 4 * time.Second // prices typed
	upToTime = 5 * time.Second // walk-away prices
)

// mostElse is how many other changes are named.
const mostElse = 6

// pricesMet are the prices typed that can be read, in the order they were
// typed, and where in them each item of the list stands.
func pricesMet(l shopping.List, d api.Draft) ([]api.Met, map[pricing.ItemID]int) {
	var out []api.Met
	at := map[pricing.ItemID]int{}
	for _, t := range d.Lines {
		if t.For != "" || t.None || t.Price == "" {
			continue
		}
		for _, line := range l.Lines {
			if line.Item != t.Item || len(line.Packs) == 0 {
				continue
			}
			if _, err := money.Parse(t.Price, l.Currency); err != nil {
				continue
			}
			pack := line.MainPack()
			if t.Pack != "" {
				met, err := measure.ParsePack(t.Pack, line.Unit)
				if err != nil || met <= 0 {
					continue
				}
				pack = met
			}
			at[t.Item] = len(out)
			out = append(out, api.Met{Item: string(t.Item), Pack: pack.Format(line.Unit), Price: t.Price, Currency: l.Currency})
		}
	}
	return out, at
}

// takings are what the plan says to all prices typed, as far as that is found
// out in time.
func (q *request) takings(f *Frame, l shopping.List, d api.Draft, x api.Planned) (map[pricing.ItemID]taking, error) {
	met, at := pricesMet(l, d)
	ctx, stop := context.WithTimeout(q.r.Context(), takeTime)
	defer stop()
	out := map[pricing.ItemID]taking{}
	for id, i := range at {
		r, err := q.svc.Reprice(ctx, x.Voyage, api.MetOptions{Stop: l.Stop, Prices: met[:i+1]})
		switch {
		case errors.Is(err, context.DeadlineExceeded):
			out[id] = taking{Now: q.say("take.later")}
		case errors.Is(err, api.ErrInvalid), errors.Is(err, api.ErrNotFound):
		case err != nil:
			return nil, err
		default:
			out[id] = q.taking(f, r, x)
		}
	}
	return out, nil
}

func (q *request) taking(f *Frame, r api.Repriced, x api.Planned) taking {
	s := r.Shelf
	label := f.Sold(s.Label)
	out := taking{Now: q.say("take.now", r.Take, label, s.Planned), UpTo: q.upTo(f, &s), Else: []string{}}
	switch {
	case r.Take == s.Planned:
		out.Now = q.say("take.same", r.Take, label)
	case r.Take == 0:
		out.Now = q.say("take.none", s.Planned)
	}
	for _, c := range r.Difference.Changes {
		note, _ := x.Notes.Item(c.Item)
		if c.Stop == s.Stop && string(note.Item) == s.Item {
			continue
		}
		if len(out.Else) == mostElse {
			out.Else = append(out.Else, q.say("take.more", len(r.Difference.Changes)-mostElse))
			break
		}
		out.Else = append(out.Else, q.say("take.else", x.Notes.Stops[c.Stop].Name, q.words.Item(note.Item, note.Name), f.Much(c.Before, note.Unit), f.Much(c.After, note.Unit)))
	}
	if math.Abs(r.Dearer) >= 0.005 {
		key := map[bool]string{true: "take.dearer", false: "take.cheaper"}[r.Dearer > 0]
		out.Else = append(out.Else, q.say(key, f.Cash(math.Abs(r.Dearer), s.Currency)))
	}
	return out
}

// upTo is the walk-away price in the money of the shelf; nothing where not
// known.
func (q *request) upTo(f *Frame, s *api.Shelf) string {
	switch {
	case s == nil:
		return ""
	case len(s.Steps) == 0:
		return q.say("take.upto.never")
	case s.Steps[0].UpTo == nil:
		return q.say("take.upto.always", s.Steps[0].Packs)
	case s.Steps[0].There != nil && f.Money != "home":
		return q.say("take.upto", f.Cash(*s.Steps[0].There, s.There))
	}
	return q.say("take.upto", f.Cash(*s.Steps[0].UpTo, s.Currency))
}

// walkAway are the walk-away prices of the lines of a list: those known, and
// when asked for as many more as are found out in time. Left is how many are
// not known then.
func (q *request) walkAway(f *Frame, l shopping.List, x api.Planned, workOut bool) (out map[pricing.ItemID]string, left int, err error) {
	ctx, stop := context.WithTimeout(q.r.Context(), upToTime)
	defer stop()
	var asks []api.ShelfAsk
	var items []pricing.ItemID
	for _, line := range l.Lines {
		if len(line.Packs) > 0 {
			asks = append(asks, api.ShelfAsk{Item: string(line.Item), Stop: l.Stop, Pack: line.MainPack().Format(line.Unit)})
			items = append(items, line.Item)
		}
	}
	shelves, err := q.svc.Shelves(ctx, x.Voyage, asks, workOut)
	if err != nil {
		return nil, 0, err
	}
	out = map[pricing.ItemID]string{}
	for i, s := range shelves {
		if s == nil {
			left++
			continue
		}
		out[items[i]] = q.upTo(f, s)
	}
	return out, left, nil
}

// getTake answers the page's script about one line of the draft.
func (s *site) getTake(q *request) error {
	l, d, x, err := q.listOf()
	if err != nil {
		return err
	}
	f := q.frame("", "", "")
	met, at := pricesMet(l, d.Value)
	out := taking{Else: []string{}}
	if i, ok := at[pricing.ItemID(q.text("item"))]; ok {
		r, err := q.svc.Reprice(q.r.Context(), x.Voyage, api.MetOptions{Stop: l.Stop, Prices: met[:i+1]})
		switch {
		case errors.Is(err, api.ErrInvalid), errors.Is(err, api.ErrNotFound):
		case err != nil:
			return err
		default:
			out = q.taking(&f, r, x)
		}
	}
	q.w.Header().Set("Content-Type", "application/json")
	q.w.WriteHeader(http.StatusOK)
	return json.NewEncoder(q.w).Encode(out)
}
