package search

import (
	"context"
	"math"
)

// Counts is, for counts of packs of an offer up to a most, what the need and
// the trips for it cost at least without the price of those packs, as far as
// was found, while all others stay. Counts are left out, +Inf, where between
// two others none was found that is worth taking at any price of a pack.
func (h *Held) Counts(ctx context.Context, need, offer, most int) []float64 {
	return h.counts(ctx, need, offer, most).costs
}

// Settle gives a need the best schedule that Counts finds at the offer's price, or a
// better one yet, and returns what Counts does with that put in.
func (h *Held) Settle(ctx context.Context, need, offer, most int) []float64 {
	c := h.counts(ctx, need, offer, most)
	price := h.m.Needs[need].Offers[offer].Price
	h.give(need, c.plans[c.best(h.plan[need].Packs[offer], price)].clone())
	h.Better(ctx, need)
	s := h.plan[need]
	h.load.add(h.m.Needs[need], s, -1)
	defer h.load.add(h.m.Needs[need], s, 1)
	packs := s.Packs[offer]
	for len(c.costs) <= packs {
		c.costs, c.plans = append(c.costs, math.Inf(1)), append(c.plans, nil)
	}
	c.keep(solved{s, s.Own() + h.load.more(s) - float64(packs)*price})
	return c.costs
}

// counts looks for the best schedules with counts of packs of an offer up to a most.
func (h *Held) counts(ctx context.Context, need, offer, most int) *counts {
	n, old := h.m.Needs[need], h.plan[need]
	h.load.add(n, old, -1)
	defer h.load.add(n, old, 1)
	k := h.seeker(ctx, need)
	k.depth = 2
	least, now := n.Offers[offer].Min, old.Packs[offer]
	most = max(most, now)
	c := &counts{seeker: k, need: need, offer: offer, costs: make([]float64, most+1), plans: make([]*Schedule, most+1)}
	for x := range c.costs {
		c.costs[x] = math.Inf(1)
	}
	c.keep(solved{old, old.Own() + h.load.more(old) - float64(now)*n.Offers[offer].Price})
	c.exactly(now, old, true)
	for _, end := range [2]int{least, most} {
		if end != now {
			c.exactly(end, c.plans[now], true)
		}
	}
	c.between(least, now)
	c.between(now, most)
	return c
}

// best is the count that is cheapest at a price: the one there is where no other is
// any cheaper.
func (c *counts) best(now int, price float64) int {
	best := now
	for x := range c.costs {
		if c.pays(x, best, price) {
			best = x
		}
	}
	return best
}

// counts are the costs of counts of packs of one offer without the price of
// those packs, +Inf where not known, each with its schedule.
type counts struct {
	*seeker
	need, offer int
	costs       []float64
	plans       []*Schedule
}

// between looks for counts between two known ones at the price of a pack at
// which both are as good: what is better there divides them, what is not is
// worth taking at no price.
func (c *counts) between(low, high int) {
	for high-low > 1 && !c.work.cancelled() {
		price := max(0, (c.costs[low]-c.costs[high])/float64(high-low))
		at := c.cheapest(low, high, price, low)
		if at <= low || at >= high {
			at = c.cheapest(low, high, price, high)
		}
		if at < 0 {
			at = (low + high) / 2
			c.exactly(at, c.plans[low], false)
			if !c.pays(at, low, price) {
				c.exactly(at, c.plans[high], false)
			}
			if !c.pays(at, low, price) {
				return
			}
		}
		if at > low && at < high {
			c.between(low, at)
			c.between(at, high)
			return
		}
	}
}

// pays says whether a count costs less than another one at a price of a pack.
func (c *counts) pays(x, than int, price float64) bool {
	cost := c.costs[than] + float64(than)*price
	return c.costs[x]+float64(x)*price < cost-1e-7*(1+math.Abs(cost))
}

// cheapest is the count between two that is best at a price, as found from the
// schedule of one of them, -1 when it is no better than they are.
func (c *counts) cheapest(low, high int, price float64, from int) int {
	s := c.solve(Offer{Price: price, Min: low, Limit: high}, c.plans[from], c.plans[from].Packs[c.offer], false)
	if !c.beats(s, low, price) {
		return -1
	}
	c.keep(s)
	return s.schedule.Packs[c.offer]
}

// solved is a schedule with its cost but for the packs of the offer.
type solved struct {
	schedule *Schedule
	cost     float64
}

func (c *counts) beats(s solved, than int, price float64) bool {
	cost := c.costs[than] + float64(than)*price
	return s.cost+float64(s.schedule.Packs[c.offer])*price < cost-1e-7*(1+math.Abs(cost))
}

// keep remembers what is best for a count.
func (c *counts) keep(s solved) {
	if x := s.schedule.Packs[c.offer]; s.cost < c.costs[x] {
		c.costs[x], c.plans[x] = s.cost, s.schedule
	}
}

// exactly looks for the best schedule with exactly so many packs, which are
// taken whatever they cost; closely says to start from nothing too.
func (c *counts) exactly(packs int, from *Schedule, closely bool) {
	c.keep(c.solve(Offer{Min: packs, Limit: packs}, from, packs, closely))
}

// solve looks for the best schedule with other limits and another price of the
// offer, from one with so many packs of it.
func (c *counts) solve(as Offer, from *Schedule, packs int, closely bool) solved {
	n := c.m.Needs[c.need]
	o := &n.Offers[c.offer]
	was := *o
	defer func() { *o = was }()
	o.Price, o.Min, o.Limit = as.Price, as.Min, as.Limit
	s := from.clone()
	s.Packs[c.offer] = packs
	s, v := c.touchUp(c.need, s, c.value(c.need, s))
	if again, w := c.fit(c.need); w < v {
		s, v = again, w
	}
	if closely {
		if again, w := c.fresh(c.need); w < v {
			s, v = again, w
		}
	}
	if closely || n.several() { // a march knows best what else to buy of one item
		s, v = c.polish(c.need, s, v)
	}
	s, v = c.topUp(c.need, s, v)
	if again := c.share(c.need, s); again.Own()+c.load.more(again) < v {
		s, v = again, again.Own()+c.load.more(again)
	}
	return solved{s, v - float64(s.Packs[c.offer])*as.Price}
}
