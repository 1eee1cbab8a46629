// Package underway plans the rest of a season: what the brief is from now on
// with what is then aboard, which of the good plans for it is nearest to the
// one the skipper goes by, and how two plans differ, in numbers and words.
//
// Units are those of plan.Brief; a moment is in days since the start of the
// brief it is said of.
package underway

import (
	"errors"
	"fmt"
	"slices"

	"hardtack/route/plan"
)

// ErrInput is a moment, lot or plan that does not fit the brief.
var ErrInput = errors.New("does not fit the brief")

// Held is a lot aboard at some moment.
type Held struct {
	Need    string  `json:"need"`
	Item    string  `json:"item"`
	Space   string  `json:"space"`
	Amount  float64 `json:"amount"`  // item-units
	Expires float64 `json:"expires"` // days since the start of the brief
}

// Now is where the boat is in a brief.
type Now struct {
	Day    float64 // since the start
	Bought bool    // the stop's shopping is done: what was bought is aboard
}

// stopAt is the stop a moment falls in, or the one left last when at sea.
func stopAt(b plan.Brief, day float64) (stop int, atSea bool) {
	for s := range b.Stops {
		if b.Stops[s].Arrive <= day+1e-9 {
			stop = s
		}
	}
	return stop, day > b.Stops[stop].Depart+1e-9
}

func (n Now) check(b plan.Brief) error {
	if last := b.Stops[len(b.Stops)-1].Depart; !(n.Day >= 0 && n.Day <= last) {
		return fmt.Errorf("day %v: %w, which goes from 0 to %v", n.Day, ErrInput, last)
	}
	return nil
}

// Aboard is what the plan has aboard at a moment, use within a period spread
// evenly over it. Lots that have expired or were taken away are not.
func Aboard(b plan.Brief, p plan.Plan, now Now) ([]Held, error) {
	if err := now.check(b); err != nil {
		return nil, err
	}
	stop, atSea := stopAt(b, now.Day)
	var out []Held
	for _, l := range lotsOf(b, p) {
		if l.from > stop || l.from == stop && !atSea && !now.Bought {
			continue
		}
		if l.lost <= stop || l.expires <= now.Day {
			continue
		}
		left := l.amount
		for _, m := range l.moves {
			left -= m.amount * gone(b, m.period, now.Day, m.discard, atSea || now.Bought)
		}
		if left > speck {
			out = append(out, Held{l.need, l.item, l.space, left, l.expires})
		}
	}
	return out, nil
}

// speck is an amount not worth handling.
const speck = 1e-6

// gone is the share of a movement in a period that lies behind a moment.
func gone(b plan.Brief, period int, day float64, discard, departed bool) float64 {
	start, end := span(b, period)
	switch {
	case discard:
		if departed && day >= b.Stops[period/2].Arrive-1e-9 || day > b.Stops[period/2].Depart {
			return 1
		}
		return 0
	case day >= end:
		return 1
	case day <= start:
		return 0
	}
	return (day - start) / (end - start)
}

// span is when a period begins and ends: stay s is period 2s, leg l 2l+1.
func span(b plan.Brief, period int) (start, end float64) {
	if period%2 == 0 {
		return b.Stops[period/2].Arrive, b.Stops[period/2].Depart
	}
	return b.Stops[period/2].Depart, b.Stops[period/2+1].Arrive
}

// lotOf is a lot of a plan in one space, with what leaves it.
type lotOf struct {
	need, item, name, space string
	from, lost              int
	amount, expires         float64
	moves                   []move
}

type move struct {
	period  int
	amount  float64
	discard bool
}

type lotName struct{ item, lot, space string }

// lotsOf follows every lot of a plan, in the order of the brief and the plan.
func lotsOf(b plan.Brief, p plan.Plan) []*lotOf {
	var all []*lotOf
	by, items := map[lotName]*lotOf{}, map[string]plan.Item{}
	put := func(l lotOf) {
		l.lost = lostAfter(b, items[l.item], l.from)
		all = append(all, &l)
		by[lotName{l.item, l.name, l.space}] = &l
	}
	for _, n := range b.Needs {
		for _, it := range n.Items {
			items[it.ID] = it
			for k, x := range it.Aboard {
				put(lotOf{need: n.ID, item: it.ID, name: fmt.Sprintf("aboard %d", k), space: x.Space, from: -1,
					amount: x.Amount, expires: x.Expires})
			}
		}
	}
	for _, x := range p.Purchases {
		for _, st := range x.Stowed {
			put(lotOf{need: x.Need, item: x.Item, name: x.ID, space: st.Space, from: x.Stop, amount: st.Amount,
				expires: b.Stops[x.Stop].Depart + keepsFor(items[x.Item], st.Space, x.Stop)})
		}
	}
	for _, d := range p.Draws {
		if l := by[lotName{d.Item, d.Lot, d.Space}]; l != nil {
			if q, ok := periodOf(d.Period); ok {
				l.moves = append(l.moves, move{q, d.Amount, false})
			}
		}
	}
	for _, d := range p.Discards {
		if l := by[lotName{d.Item, d.Lot, d.Space}]; l != nil {
			l.moves = append(l.moves, move{2 * d.Stop, d.Amount, true})
		}
	}
	return all
}

func lostAfter(b plan.Brief, it plan.Item, stop int) int {
	lost := len(b.Stops)
	for _, s := range it.SurrenderedAt {
		if s > stop {
			lost = min(lost, s)
		}
	}
	return lost
}

func keepsFor(it plan.Item, space string, stop int) float64 {
	if k := slices.IndexFunc(it.Keeps, func(k plan.Keep) bool { return k.Space == space }); k >= 0 {
		return it.Keeps[k].Days[stop]
	}
	return 0
}

// periodOf reads "stay 3" as 6 and "leg 3" as 7.
func periodOf(name string) (int, bool) {
	var at int
	if _, err := fmt.Sscanf(name, "stay %d", &at); err == nil && at >= 0 {
		return 2 * at, true
	}
	if _, err := fmt.Sscanf(name, "leg %d", &at); err == nil && at >= 0 {
		return 2*at + 1, true
	}
	return 0, false
}
