package search

import (
	"math"
	"slices"
)

// filler proposes packs for a need: every segment from the source that is
// cheapest for it, as if packs could be split, then rounded.
type filler struct {
	a      *allocator
	need   int
	cost   []float64 // per segment and source in the order of lives: all a unit costs
	want   []float64 // per source
	closed []bool    // per source in the order of lives, for the segment at hand
	full   []bool    // per source: no room for more of it
	flows  []Flow
}

func newFiller(a *allocator, need int) *filler {
	n := a.m.Needs[need]
	f := &filler{a: a, need: need, want: make([]float64, len(n.Sources)), cost: a.unitCosts(n, nil),
		closed: make([]bool, len(n.Sources)), full: make([]bool, len(n.Sources))}
	return f
}

// unitCosts is what a unit costs, bought, carried, held and eaten, per segment
// and source in the order of lives; +Inf where it does not serve.
func (a *allocator) unitCosts(n *Need, costs []float64) []float64 {
	sources, c := len(n.Sources), a.charge(n)
	costs = slices.Grow(costs[:0], len(n.Segments)*sources)[:len(n.Segments)*sources]
	for k, i := range n.lay.byLife {
		price, unit := 0.0, c.unit[int(i)*len(n.Segments):]
		if n.Sources[i].Aboard < 0 {
			price = n.UnitPrice(int(i))
		}
		for g := range n.Segments {
			costs[g*sources+k] = price + unit[g]
		}
	}
	return costs
}

// UnitPrice is the lowest price of a unit in packs that are to be had.
func (n *Need) UnitPrice(source int) float64 {
	price := math.Inf(1)
	for _, o := range n.Sources[source].Offers {
		if n.Offers[o].Limit > 0 {
			price = min(price, n.Offers[o].Price/n.Offers[o].Size)
		}
	}
	return price
}

// propose sets the packs of s from the open sources, what is aboard being open. A carry in [0, 1] says
// how much of what rounding left over may spare a later source.
func (f *filler) propose(open []bool, carry float64, s *Schedule) {
	n := f.a.m.Needs[f.need]
	f.spread(n, open)
	for o := range n.Offers {
		s.Packs[o] = n.Offers[o].Min
	}
	over := 0.0
	for i := range n.Sources {
		if n.Sources[i].Aboard >= 0 || f.want[i] <= Slack {
			continue
		}
		want := f.want[i] - over*carry
		if want > Slack {
			n.cover(i, want, s.Packs)
		}
		over = max(0, n.supply(i, s.Packs)-want)
	}
}

// spread splits the use of all segments over the open sources, the cheapest
// that finds room first, and what is aboard before all; then it provides for
// reserves.
func (f *filler) spread(n *Need, open []bool) {
	for i := range f.want {
		f.want[i], f.full[i] = 0, false
		f.a.left[i] = math.Inf(1)
		if n.Sources[i].Aboard >= 0 {
			f.a.left[i] = n.Sources[i].Held
		}
	}
	f.a.limits()
	f.a.crowd()
	f.a.charge(n)
	f.flows = f.flows[:0]
	for g, segment := range n.Segments {
		lacking := segment.Amount
		for k, i := range n.lay.byLife {
			f.closed[k] = !n.lay.spans[i].serves(g) || !open[i]
		}
		for lacking > Slack {
			k := f.cheapest(n, g)
			if k < 0 {
				break
			}
			f.closed[k] = true
			lacking -= f.take(n, g, int(n.lay.byLife[k]), lacking)
		}
	}
	f.provide(n, open)
	f.a.giveBack()
}

// cheapest is the source of a segment to turn to next, by its place in the order
// of lives, -1 when none is left that costs less than going without.
func (f *filler) cheapest(n *Need, g int) int {
	best, cost := -1, n.Miss
	for k, i := range n.lay.byLife {
		if f.closed[k] {
			continue
		}
		if n.Sources[i].Aboard >= 0 {
			return k
		}
		if c := f.cost[g*len(n.Sources)+k]; c < cost {
			best, cost = k, c
		}
	}
	return best
}

// take takes up to an amount of a source where there is room.
func (f *filler) take(n *Need, g, i int, lacking float64) float64 {
	x, to := &n.lay.spans[i], int(n.lay.to[g])
	if x.direct(g) {
		f.want[i] += lacking
		return lacking
	}
	taken := 0.0
	for _, w := range f.a.charges.lasting(i, g) {
		if w.way < 0 {
			break
		}
		if amount := f.a.grab(&n.Sources[i], Flow{i, w.way, g, to, lacking - taken}); amount > 0 {
			taken += amount
			f.flows = append(f.flows, Flow{i, w.way, g, to, amount})
		}
	}
	f.want[i] += taken
	return taken
}

// cover buys the cheapest packs of a source that together hold an amount, of
// at most two sizes, on top of those that must be bought.
func (n *Need) cover(source int, amount float64, packs []int) {
	least := 0.0
	for _, o := range n.Sources[source].Offers {
		least += float64(packs[o]) * n.Offers[o].Size
	}
	amount -= least
	if amount <= Slack {
		return
	}
	best, first, second, count, rest := math.Inf(1), -1, -1, 0, 0
	for _, o := range n.Sources[source].Offers {
		most := n.Offers[o].Limit - packs[o]
		whole := min(int(math.Floor((amount+Slack)/n.Offers[o].Size)), most)
		for _, k := range [3]int{whole, min(whole+1, most), 0} {
			for _, p := range n.Sources[source].Offers {
				j := 0
				if left := amount - float64(k)*n.Offers[o].Size; left > Slack && p != o {
					j = min(int(math.Ceil((left-Slack)/n.Offers[p].Size)), n.Offers[p].Limit-packs[p])
				}
				short := max(0, amount-float64(k)*n.Offers[o].Size-float64(j)*n.Offers[p].Size)
				cost := float64(k)*n.Offers[o].Price + float64(j)*n.Offers[p].Price + short*n.Miss
				if cost < best {
					best, first, second, count, rest = cost, o, p, k, j
				}
			}
		}
	}
	if first >= 0 {
		packs[first] += count
		packs[second] += rest
	}
}
