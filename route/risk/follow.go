package risk

import (
	"fmt"
	"slices"

	"hardtack/route/plan"
)

// follow takes over what the plan buys, where it stows it, and the room it
// leaves.
func (f *field) follow(b plan.Brief, p plan.Plan, spaces map[string]int) error {
	where := map[string]place{}
	for n, need := range b.Needs {
		for i, it := range need.Items {
			where[it.ID] = place{n, i}
		}
	}
	l := newLedger(f)
	for n := range f.needs {
		for k, x := range b.Needs[n].Items {
			for a, held := range x.Aboard {
				l.add(lotName{x.ID, fmt.Sprintf("aboard %d", a), held.Space}, place{n, k}, spaces[held.Space], -1, held.Amount, held.Expires)
			}
		}
	}
	for _, x := range p.Purchases {
		at, ok := where[x.Item]
		if !ok {
			return unknown("item", x.Item)
		}
		if x.Stop < 0 || x.Stop >= len(f.stops) {
			return unknown("purchase", x.ID)
		}
		if err := f.purchase(x, at, spaces, l); err != nil {
			return err
		}
	}
	for n := range f.needs {
		f.needs[n].settle(f.stops)
		for _, m := range p.Missing {
			if q, ok := periodOf(m.Period); ok && m.Need == f.needs[n].id && q < len(f.needs[n].given) {
				f.needs[n].given[q] += m.Amount
			}
		}
	}
	l.take(p)
	f.slack = l.slack()
	return nil
}

func (f *field) purchase(x plan.Purchase, at place, spaces map[string]int, l *ledger) error {
	n := &f.needs[at.need]
	if stay := n.in[x.Stop] * (f.stops[x.Stop].Depart - f.stops[x.Stop].Arrive); stay > 0 {
		n.daily[x.Stop][at.item] += x.EatenInPort * n.items[at.item].yield / stay
		n.ashore[x.Stop] += x.EatenInPort * n.items[at.item].yield / stay
	}
	for _, st := range x.Stowed {
		space, ok := spaces[st.Space]
		if !ok {
			return unknown("space", st.Space)
		}
		if st.Amount <= speck {
			continue
		}
		n.bought[x.Stop] = append(n.bought[x.Stop], planned{at.item, space, st.Amount})
		l.add(lotName{x.Item, x.ID, st.Space}, at, space, x.Stop, st.Amount,
			f.stops[x.Stop].Depart+n.items[at.item].days(space, x.Stop))
	}
	return nil
}

// settle prepares what comes later, seen from every stop.
func (n *need) settle(stops []plan.Stop) {
	var after []lot
	n.next = make([]int, len(stops))
	next := len(stops) - 1
	for s := len(stops) - 1; s >= 0; s-- {
		n.ashore[s] = min(n.ashore[s], 1)
		n.later[s] = slices.Clone(after)
		n.next[s] = next
		if len(n.bought[s]) > 0 {
			next = s
		}
		for k, x := range n.bought[s] {
			after = append(after, lot{item: x.item, space: x.space, left: x.amount, lost: n.items[x.item].lost[s],
				expires: stops[s].Depart + n.items[x.item].days(x.space, s), from: s, kind: later, index: k}.toUse(stops))
		}
	}
}

type place struct{ need, item int }

type lotName struct{ item, lot, space string }

// ledger follows the room a plan takes up.
type ledger struct {
	*field
	lots map[lotName]*held
	all  []*held // in the order they were added, so that sums come out alike
}

type held struct {
	place
	space, from, lost int
	expires           float64
	left              []float64 // by stop, right after its departure
}

func newLedger(f *field) *ledger { return &ledger{field: f, lots: map[lotName]*held{}} }

func (l *ledger) add(name lotName, at place, space, from int, amount, expires float64) {
	if h := l.lots[name]; h != nil {
		for s := max(from, 0); s < len(h.left); s++ {
			h.left[s] += amount
		}
		return
	}
	lost := len(l.stops)
	if it := &l.needs[at.need].items[at.item]; from >= 0 {
		lost = it.lost[from]
	} else {
		for _, x := range l.needs[at.need].aboard {
			if x.item == at.item {
				lost = x.lost
			}
		}
	}
	h := &held{place: at, space: space, from: from, lost: lost, expires: expires, left: make([]float64, len(l.stops))}
	for s := max(from, 0); s < len(h.left); s++ {
		h.left[s] = amount
	}
	l.lots[name] = h
	l.all = append(l.all, h)
}

func (l *ledger) take(p plan.Plan) {
	gone := func(h *held, stop int, amount float64) {
		for s := max(stop, 0); h != nil && s < len(h.left); s++ {
			h.left[s] = max(h.left[s]-amount, 0)
		}
	}
	for _, d := range p.Draws {
		if q, ok := periodOf(d.Period); ok {
			h := l.lots[lotName{d.Item, d.Lot, d.Space}]
			gone(h, (q+1)/2, d.Amount)
			if h != nil && q < 2*len(l.stops)-1 {
				meals := l.needs[h.need].meals
				meals[q] = append(meals[q], lot{item: h.item, space: h.space, from: h.from, left: d.Amount})
			}
		}
	}
	for _, d := range p.Discards {
		h := l.lots[lotName{d.Item, d.Lot, d.Space}]
		gone(h, d.Stop, d.Amount)
		if h != nil && d.Stop >= 0 && d.Stop < len(l.stops) {
			leave := l.needs[h.need].leave
			leave[d.Stop] = append(leave[d.Stop], lot{item: h.item, space: h.space, from: h.from, left: d.Amount})
		}
	}
}

// slack is the room left right after each departure.
func (l *ledger) slack() [][]float64 {
	out := make([][]float64, len(l.stops))
	for s := range out {
		out[s] = slices.Clone(l.room)
		for _, h := range l.all {
			if h.from > s || h.lost <= s || h.expires <= l.stops[s].Depart {
				continue
			}
			it := &l.needs[h.need].items[h.item]
			out[s][h.space] -= h.left[s] * it.litres
			out[s][len(l.room)-1] -= h.left[s] * it.kg
		}
	}
	return out
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
