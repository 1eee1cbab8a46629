package search

import (
	"math"
	"slices"
)

// gain is how much the bound at hand rises when totals are kept, at most the
// given margin to a cost that is known to be reached.
func (h *hull) gain(margin float64) float64 {
	reach := h.reachable()
	walks := []tally{{waste: math.Inf(1)}}
	missing := math.Inf(1)
	g := 0
	use := func(last int) {
		for ; g < len(h.n.Segments) && h.n.Segments[g].Period <= last; g++ {
			if !reach[g] {
				continue
			}
			missing = min(missing, h.n.Miss-h.worth[g])
			for k := range walks {
				w := &walks[k]
				if w.over -= h.n.Segments[g].Amount; w.over < 0 {
					w.lost -= w.over * missing
					w.over = 0
				}
			}
		}
	}
	for stop := range h.m.Stops {
		for i := range h.sources {
			if o := &h.sources[i]; o.source.Stop == stop {
				walks = spread(walks, h.choices(o, margin), margin)
			}
		}
		use(2 * stop)
		most := h.useful(stop)
		for k := range walks {
			walks[k].throw(most)
		}
		use(2*stop + 1)
		walks = thin(walks, margin)
	}
	least := margin
	for _, w := range walks {
		w.throw(0)
		least = min(least, w.lost)
	}
	return max(0, least)
}

// reachable says which segments anything can serve.
func (h *hull) reachable() []bool {
	reach := make([]bool, len(h.n.Segments))
	for _, o := range h.sources {
		for _, u := range o.uses {
			if u.segment >= 0 {
				reach[u.segment] = true
			}
		}
	}
	return reach
}

// useful is the use after the departure of a stop that lots bought up to then
// can serve.
func (h *hull) useful(stop int) float64 {
	useful := make([]bool, len(h.n.Segments))
	for _, o := range h.sources {
		if o.source.Stop > stop {
			continue
		}
		for _, u := range o.uses {
			if u.segment >= 0 && h.n.Segments[u.segment].Period > 2*stop {
				useful[u.segment] = true
			}
		}
	}
	total := 0.0
	for g, yes := range useful {
		if yes {
			total += h.n.Segments[g].Amount
		}
	}
	return total
}

// choices lists the ways to buy from an outlet that lose no more than a
// margin against its best.
func (h *hull) choices(o *outlet, margin float64) []choice {
	h.market(o)
	best := h.peak(o)
	var list []choice
	reserve := 0.0
	for _, s := range h.sales {
		if s.use.segment < 0 {
			reserve = max(reserve, s.profit)
		}
	}
	for _, carried := range []bool{false, true} {
		fixed, keep := 0.0, 0.0
		if carried {
			fixed, keep = o.fixed, reserve
		}
		h.add(carried)
		all := slices.Clone(h.sums)
		h.sales = slices.DeleteFunc(h.sales, func(s sale) bool { return carried && s.use.segment < 0 })
		h.add(carried)
		limit := h.reach(o, carried)
		h.each(o, func(supply, spent float64) bool {
			c := h.choice(all, supply, spent+fixed, keep)
			c.lost += best
			c.over = min(c.over, limit)
			if c.lost <= margin {
				list = append(list, c)
			}
			// Past all that pays, a pack more loses its price.
			return supply < limit && (c.lost <= margin || supply <= all[len(all)-1].amount)
		})
	}
	return thin(list, margin)
}

// peak is what the outlet earns at best.
func (h *hull) peak(o *outlet) float64 {
	h.add(true)
	carried, _ := h.buy(o)
	h.add(false)
	direct, _ := h.buy(o)
	return max(carried-o.fixed, direct)
}

// reach is all the use an outlet could serve.
func (h *hull) reach(o *outlet, carried bool) float64 {
	total, last := 0.0, -1
	for _, u := range o.uses {
		if u.segment >= 0 && u.segment != last && (carried || u.way < 0) {
			total += h.n.Segments[u.segment].Amount
			last = u.segment
		}
	}
	return total
}

// slope is what the last unit of an amount earns.
func (h *hull) slope(amount float64) float64 {
	for k := 1; k < len(h.sums); k++ {
		if a, b := h.sums[k-1], h.sums[k]; b.amount >= amount {
			return (b.profit - a.profit) / (b.amount - a.amount)
		}
	}
	return 0
}

// each goes through the packs an outlet can sell. Once more is false, more
// packs are not tried.
func (h *hull) each(o *outlet, more func(supply, spent float64) bool) {
	if o.source.Aboard >= 0 {
		more(o.source.Held, 0)
		return
	}
	var walk func(offers []int, supply, spent float64) bool
	walk = func(offers []int, supply, spent float64) bool {
		if len(offers) == 0 {
			return more(supply, spent)
		}
		offer := &h.n.Offers[offers[0]]
		for packs := offer.Min; packs <= offer.Limit; packs++ {
			if !walk(offers[1:], supply+float64(packs)*offer.Size, spent+float64(packs)*offer.Price) {
				return packs > offer.Min
			}
		}
		return true
	}
	walk(o.source.Offers, 0, 0)
}
