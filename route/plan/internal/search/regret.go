package search

import (
	"cmp"
	"math"
	"slices"
)

// regrets reckons, against the cheapest that could be eaten in every segment,
// how much dearer a unit of each source is at least, and how much dearer all
// that is eaten of it now is. They tell which changes can pay.
func (t *attempt) regrets() {
	n := t.m.Needs[t.need]
	costs := t.unitCosts(n, nil)
	t.regret = make([]float64, len(n.Sources))
	t.least = make([]float64, len(n.Segments))
	for i := range t.regret {
		t.regret[i] = math.Inf(1)
	}
	for g := range n.Segments {
		t.least[g] = n.Miss
		row := costs[g*len(n.Sources):][:len(n.Sources)]
		for _, cost := range row {
			t.least[g] = min(t.least[g], cost)
		}
		for k, i := range n.lay.byLife {
			t.regret[i] = min(t.regret[i], row[k]-t.least[g])
		}
	}
	for i := range t.regret {
		t.regret[i] = min(t.regret[i], t.reserveRegret(n, i))
	}
	t.dear, t.waste = make([]float64, len(n.Sources)), make([]float64, len(n.Sources))
	t.supplied, t.bought = make([]float64, len(n.Sources)), make([]int, len(n.Sources))
	t.likely = t.likeliest()
	t.look()
}

// mostLikely is how many offers a walk buys more of.
const mostLikely = 24

// likeliest lists the offers of least regret.
func (t *attempt) likeliest() []int {
	offers := t.m.Needs[t.need].Offers
	likely := make([]int, 0, len(offers))
	for o := range offers {
		if offers[o].Limit > 0 && !math.IsInf(t.regret[offers[o].Source], 1) {
			likely = append(likely, o)
		}
	}
	slices.SortStableFunc(likely, func(a, b int) int {
		return cmp.Compare(t.regret[offers[a].Source], t.regret[offers[b].Source])
	})
	return likely[:min(len(likely), mostLikely)]
}

// look takes stock of best.
func (t *attempt) look() {
	n := t.m.Needs[t.need]
	for i := range n.Sources {
		t.dear[i], t.bought[i] = 0, 0
		t.supplied[i] = n.supply(i, t.best.Packs)
		t.waste[i] = t.supplied[i]
		for _, o := range n.Sources[i].Offers {
			t.bought[i] += t.best.Packs[o]
		}
	}
	for _, f := range t.best.Flows {
		if f.Segment < 0 {
			continue
		}
		s := &n.Sources[f.Source]
		cost := s.Taste
		if s.Aboard < 0 {
			cost += n.UnitPrice(f.Source)
		}
		if f.Way >= 0 {
			cost += t.prices.hold(s, s.Ways[f.Way], f.To)
		}
		t.dear[f.Source] += f.Amount * (cost - t.least[f.Segment])
		t.waste[f.Source] -= f.Amount
	}
	t.spare = 0
	for i, waste := range t.waste {
		if n.Sources[i].Aboard < 0 {
			t.spare += waste
		}
	}
}

// fixed is what giving up an amount of a source may save in line and trips.
func (t *attempt) fixed(source int, amount float64, all bool) float64 {
	s := &t.m.Needs[t.need].Sources[source]
	saved := 0.0
	if all {
		saved = s.Line
	}
	if !t.marginal {
		if all {
			saved += t.prices.Open[t.need][s.Stop]
		}
		return saved
	}
	kg := t.load.kg[s.Stop] + t.best.Kg[s.Stop]
	left := kg - amount*s.Kg
	before := t.m.trips(s.Stop, kg, true)
	after := t.m.trips(s.Stop, left, t.load.away[s.Stop] > 0 || left > Slack)
	return saved + max(0, before-after)*t.m.TripCost[s.Stop]
}

// pays says whether so many packs of one offer may pay for some of another,
// or on top (from < 0).
func (t *attempt) pays(from, packs, to, more int) bool {
	n := t.m.Needs[t.need]
	o := &n.Offers[to]
	amount := float64(more) * o.Size
	gain := t.best.Missing + t.best.Reserve
	if from < 0 {
		return amount*t.regret[o.Source] < gain
	}
	i := n.Offers[from].Source
	less := float64(packs) * n.Offers[from].Size
	gain += 1.5*t.dear[i]*min(1, less/t.supplied[i]) + float64(packs)*n.premium(from) - float64(more)*n.premium(to)
	gain += t.fixed(i, less, t.bought[i] == packs) + max(0, less-amount)*n.UnitPrice(i)
	return min(amount, less)*t.regret[o.Source] < gain
}

// premium is what a pack costs above the lowest price of its contents.
func (n *Need) premium(offer int) float64 {
	o := &n.Offers[offer]
	return o.Price - o.Size*n.UnitPrice(o.Source)
}
