package search

import "math"

// bound walks over the stops at prices and returns what the need costs at
// least, room and trips included.
func (c *chain) bound(p *Prices, need int) float64 {
	c.open()
	for k := range c.cost {
		c.cost[k] = math.Inf(1)
	}
	c.cost[min(c.at(c.start), c.size-1)] = 0
	c.least = 0
	last := len(c.top)
	for stop := 0; ; stop++ {
		c.low, c.high = c.at(c.arrive[stop]), c.at(c.depart[stop])
		if stop < last {
			c.high = max(c.high, c.top[stop])
		}
		c.shop(p, need, stop)
		c.ends[stop].same()
		c.miss(c.depart[stop], c.ends[stop])
		if stop == last {
			break
		}
		c.leave(p, stop)
		c.land(stop)
	}
	_, least := c.end()
	return least + c.taste*c.depart[last] + c.forced
}

// end is the cheapest position to end at, and its cost.
func (c *chain) end() (at int, least float64) {
	least = math.Inf(1)
	use := c.depart[len(c.depart)-1]
	for k, v := range c.cost {
		if v -= max(0, float64(k)*c.unit-use) * c.waste; v < least {
			at, least = k, v
		}
	}
	return at, least
}

// shop buys at a stop: nothing, for the stay alone, or to carry away too.
// What reaches farther than is worth holding counts as thrown away.
func (c *chain) shop(p *Prices, need, stop int) {
	stay := c.stays[stop]
	stay.same()
	clear(c.carried[stop])
	for k := c.high + 1; k < c.size; k++ {
		if v := c.cost[k] - float64(k-c.high)*c.unit*c.waste; v < c.cost[c.high] {
			c.cost[c.high] = v
			stay.from[c.high] = int32(k)
		}
		c.cost[k] = math.Inf(1)
	}
	if len(c.sold[stop]) == 0 {
		return
	}
	folded := stay.from[c.high]
	copy(c.next, c.cost)
	for d, deal := range c.deals[stop] {
		c.eat(c.next, stay, stop, d, deal.price, folded)
	}
	if stop < len(c.top) && !p.closed[stop] {
		c.carry(p, need, stop, folded)
	}
	c.cost, c.next = c.next, c.cost
}

// eat adds what is come to by a deal for the stay.
func (c *chain) eat(costs []float64, l layer, stop, d int, price float64, folded int32) {
	far := c.deals[stop][d].far
	for k := c.low; k <= c.high; k++ {
		to := min(k+far, c.high)
		if v := c.cost[k] + price - float64(k+far-to)*c.unit*c.waste; v < costs[to] {
			costs[to] = v
			if l.from[to], l.packs[to][0] = int32(k), int16(d+1); k == c.high {
				l.from[to] = folded
			}
		}
	}
}

// miss goes without up to an amount of use, or skips use to keep more for
// later.
func (c *chain) miss(use float64, l layer) {
	miss := c.n.Miss - c.taste
	to := c.at(use)
	for k := c.least; k < to && k < c.size; k++ {
		if v := c.cost[k] + (use-float64(k)*c.unit)*miss; v < c.cost[to] {
			c.cost[to], l.from[to] = v, l.from[k]
		}
		c.cost[k] = math.Inf(1)
	}
	c.least = max(c.least, to)
	if c.n.ReserveMiss == 0 {
		return
	}
	for k := to + 1; k <= min(c.high, c.size-1); k++ {
		if v := c.cost[k-1] + c.unit*miss; v < c.cost[k] {
			c.cost[k], l.from[k] = v, l.from[k-1]
		}
	}
}

// leave throws away what will not pay and pays for the room of the rest. A
// position may stand for a little less than it says, so that the room of its
// last unit is free.
func (c *chain) leave(p *Prices, stop int) {
	l := c.ends[stop]
	low, top := c.at(c.depart[stop]), c.top[stop]
	for k := c.high - 1; k >= low; k-- {
		if v := c.cost[k+1] - c.unit*c.waste; v < c.cost[k] {
			c.cost[k], l.from[k] = v, l.from[k+1]
		}
	}
	hold, held := 0.0, c.depart[stop]
	rates := c.rates(p, stop)
	for k := low + 1; k <= top; k++ {
		for len(rates) > 1 && rates[0].far <= held+1e-9 {
			rates = rates[1:]
		}
		hold += (float64(k-1)*c.unit - held) * rates[0].price
		held = float64(k-1) * c.unit
		c.cost[k] += hold
	}
}

// rate is the least price of holding a unit that is used no farther than far.
type rate struct{ far, price float64 }

// rates lists, for a departure, the least price by how far a unit goes; the
// last one holds for all beyond too.
func (c *chain) rates(p *Prices, q int) []rate {
	rates := c.tariff[:0]
	for _, l := range c.lasts[q] {
		rates = append(rates, rate{l.far, p.Cell[l.room][q]*l.litres + p.Cell[len(p.Cell)-1][q]*l.kg})
	}
	for i := 1; i < len(rates); i++ {
		for k := i; k > 0 && rates[k-1].far > rates[k].far; k-- {
			rates[k-1], rates[k] = rates[k], rates[k-1]
		}
	}
	least := math.Inf(1)
	for _, r := range rates {
		least = min(least, r.price)
	}
	// What is held beyond all use is held for a reserve, anywhere.
	rates = append(rates, rate{math.Inf(1), least})
	for i := len(rates) - 3; i >= 0; i-- {
		rates[i].price = min(rates[i].price, rates[i+1].price)
	}
	if len(rates) == 1 {
		rates[0].price = 0
	}
	c.tariff = rates
	return rates
}

// land is what a leg uses and the reserve that lacks on its arrival.
func (c *chain) land(leg int) {
	l := c.lands[leg]
	l.same()
	use, due := c.arrive[leg+1], c.n.Due[leg]
	c.miss(use, l)
	if c.n.ReserveMiss == 0 || due <= 0 {
		return
	}
	for k := c.at(use); k <= c.high; k++ {
		held := 0.0
		if c.covers[leg] {
			held = float64(k)*c.unit - use
		}
		if held >= due {
			break
		}
		c.cost[k] += (due - held) * c.n.ReserveMiss
	}
}

// effort is the work of a walk, in schedules allocated.
func (c *chain) effort() int { return 10 + c.size*len(c.n.Sources)/1000 }

// near is how near, as a part, sharing out what a walk bought must come to
// what the walk thought it costs.
const near = 3e-3

// walk is the best schedule that a need's chain and march find at the prices,
// and whether it costs about what the chain thought.
func (k *seeker) walk(need int) (best *Schedule, value float64, good bool) {
	best, value, least := k.found(need, k.prices, nil)
	return best, value, value <= least+near*value
}

// found is the best of the schedules that a need's chain, going no farther
// than top, and its march find at prices, and what the chain thought it costs.
func (k *seeker) found(need int, p *Prices, top []int) (best *Schedule, value, least float64) {
	least = math.Inf(-1)
	best = newSchedule(k.m, k.m.Needs[need])
	value = k.value(need, best)
	try := func(set func(*Schedule)) {
		s := newSchedule(k.m, k.m.Needs[need])
		set(s)
		for mode := range modes {
			s.Mode = mode
			if v := k.valueWithin(need, s, value); v < value {
				best, value = s.clone(), v
			}
		}
	}
	if c := k.chains[need]; c != nil && !c.mixed {
		k.work.Left -= c.effort()
		least = c.boundWithin(top, p, need)
		try(c.trace)
	}
	if w := k.marches[need]; w != nil {
		k.work.Left -= w.effort()
		try(func(s *Schedule) { w.run(p, need, s) })
	}
	best, value = k.touchUp(need, best, value)
	return best, value, least
}

// boundWithin is the bound of walks that go no farther than top, unless that
// is nil.
func (c *chain) boundWithin(top []int, p *Prices, need int) float64 {
	if top != nil {
		all := c.top
		c.top = top
		defer func() { c.top = all }()
	}
	return c.bound(p, need)
}
