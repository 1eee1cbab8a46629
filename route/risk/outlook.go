package risk

import (
	"cmp"
	"math"
	"slices"

	"hardtack/route/chance"
)

// outlook works out, for every stop, what a unit for each later period is
// expected to cost when it is left to the ports ahead where the plan goes
// shopping, and what stores must hold by the chance allowed to the need's
// class.
func (n *need) outlook(f *field, d NeedDoubt, policy Policy) {
	stops := len(f.stops)
	n.seller, n.cover, n.hold = make([]int, stops), make([]int, stops), make([]float64, stops)
	next := stops
	for s := stops - 1; s >= 0; s-- {
		n.seller[s] = next
		if n.sells(s) {
			next = s
		}
	}
	n.prudence(f, d)
	n.blind, n.wait = n.waiting(f, Plain), n.waiting(f, policy)
}

func (n *need) waiting(f *field, policy Policy) [][]float64 {
	out := make([][]float64, len(f.stops))
	for s := range out {
		out[s] = make([]float64, 2*len(f.stops)-1)
	}
	for q := 1; q < 2*len(f.stops)-1; q++ {
		cost := n.miss
		for s := q / 2; s >= 0; s-- {
			out[s][q] = cost // of passing stop s without
			cost = n.pass(f, s, q, cost, policy)
		}
	}
	return out
}

func (n *need) sells(stop int) bool {
	return slices.ContainsFunc(n.items, func(t thing) bool { return len(t.offers[stop]) > 0 })
}

// pass is the expected cost of coming to a stop with a unit for a period
// still to buy. Alternates are looked at from the dearest to the cheapest.
func (n *need) pass(f *field, s, q int, beyond float64, policy Policy) float64 {
	type choice struct {
		cost  float64
		doubt OfferDoubt
		taste float64
	}
	end := f.stops[q/2].Depart
	if q%2 == 1 {
		end = f.stops[q/2+1].Arrive
	}
	var choices []choice
	for i := range n.items {
		t := &n.items[i]
		serves := 2*s == q || f.trips[s] > 0 && 2*t.lost[s] > q && f.stops[s].Depart+t.longest[s] >= end
		if cost := t.expected(s); serves && !math.IsInf(cost, 1) {
			choices = append(choices, choice{cost, t.doubt[s], t.taste / t.yield})
		}
	}
	slices.SortStableFunc(choices, func(x, y choice) int { return cmp.Compare(y.cost, x.cost) })
	for _, c := range choices {
		p := chance.Port{Median: c.cost - c.taste, Available: 1, Carry: c.taste}
		if policy != Plain {
			p.LogSD, p.Available = c.doubt.LogSD, c.doubt.Available
			p.Median *= math.Exp(-p.LogSD * p.LogSD / 2)
		}
		beyond = p.Pass(beyond)
	}
	return beyond
}

// lastUntil is the stop until whose arrival stores must last that can first
// be filled up at a stop: the one by which the chance of having found nothing
// is at most allowed, or the last. Stops of one ship count once, by the best.
func (n *need) lastUntil(f *field, from int, allowed float64) int {
	if allowed >= 1 {
		return from
	}
	found := make([]float64, len(f.stops)) // by ship
	for s := from; s < len(f.stops); s++ {
		if a := n.available(s); a > 0 {
			found[f.supply[s]] = max(found[f.supply[s]], a)
		}
		none := 1.0
		for _, x := range found {
			none *= 1 - x
		}
		if none <= allowed {
			return s
		}
	}
	return len(f.stops) - 1
}

// available is the chance to find anything for the need at a stop, its items
// found or missed each for itself.
func (n *need) available(stop int) float64 {
	none := 1.0
	for i := range n.items {
		if len(n.items[i].offers[stop]) > 0 {
			none *= 1 - n.items[i].doubt[stop].Available
		}
	}
	return 1 - none
}
