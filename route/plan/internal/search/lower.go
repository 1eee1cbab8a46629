package search

import "math"

// Lower is a bound on the cost of every plan, given prices: what each need
// costs at least when it pays for the room it takes, less what all room is
// worth. Trips are paid per kilogram (Prices.Kg) and per need.
func (m *Model) lower(a *allocator) float64 {
	bound := 0.0
	for i := range m.Needs {
		bound += a.lowerNeed(i)
	}
	for r, row := range a.prices.Cell {
		for _, price := range row {
			if price > 0 {
				bound -= price * m.Room[r]
			}
		}
	}
	return bound
}

// lowerNeed takes every segment at its cheapest, as if packs could be split
// and lines and trips cost nothing, and what is aboard or must be bought as
// if there were enough of it.
func (a *allocator) lowerNeed(need int) float64 {
	n := a.m.Needs[need]
	f := newFiller(a, need)
	bound := 0.0
	forced := make([]bool, len(n.Sources))
	for _, o := range n.Offers {
		bound += float64(o.Min) * o.Price
		forced[o.Source] = forced[o.Source] || o.Min > 0
	}
	for g, segment := range n.Segments {
		least := n.Miss
		for k, sv := range a.order[need][g] {
			cost := f.cost[g][k]
			if forced[sv.source] {
				cost -= n.unitPrice(sv.source)
			}
			if !math.IsNaN(cost) {
				least = min(least, cost)
			}
		}
		bound += segment.Amount * least
	}
	return bound
}
