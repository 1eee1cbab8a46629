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
	last := len(c.far)
	for stop := 0; ; stop++ {
		c.shop(p, need, stop)
		c.miss(c.depart[stop], c.steps[stop])
		if stop == last {
			break
		}
		c.leave(p, stop)
		c.land(stop)
	}
	least := math.Inf(1)
	for _, v := range c.cost {
		least = min(least, v)
	}
	return least + c.taste*c.depart[last]
}

// shop buys at a stop: nothing, for the stay alone, or to carry away.
func (c *chain) shop(p *Prices, need, stop int) {
	steps := c.steps[stop]
	for k := range steps {
		steps[k] = step{int32(k), -1, [2]int16{}}
	}
	i := c.sold[stop]
	if i < 0 {
		return
	}
	copy(c.next, c.cost)
	use := c.depart[stop] - c.arrive[stop]
	for d := range c.deals[stop] {
		deal := &c.deals[stop][d]
		far := c.at(min(deal.amount, use))
		for k, cost := range c.cost {
			to := min(k+far, c.size-1)
			if v := cost + deal.price; v < c.next[to] {
				c.next[to] = v
				steps[to] = step{int32(k), int16(d), [2]int16{}}
			}
		}
	}
	s := &c.n.Sources[i]
	if len(s.Ways) > 0 && !p.closed[stop] && stop < len(c.far) {
		c.carry(p, need, s, use)
	}
	c.cost, c.next = c.next, c.cost
}

// carry adds what is come to by buying packs to carry away.
func (c *chain) carry(p *Prices, need int, s *Source, use float64) {
	kg := p.Kg[s.Stop] * c.kg
	fixed := s.Line + p.Open[need][s.Stop] - kg*use // what is eaten in port is not carried
	steps := c.steps[s.Stop]
	v, from, packs := c.value, c.origin, c.count
	for k := range v {
		v[k], from[k], packs[k] = c.cost[k]+fixed, int32(k), [2]int16{}
	}
	for at, o := range s.Offers {
		offer := &c.n.Offers[o]
		c.buy(v, from, packs, at, c.at(offer.Size), offer.Price+kg*offer.Size, offer.Limit)
	}
	for k := len(v) - 2; k >= 0 && kg > 0; k-- { // what is thrown away at once is not carried
		if w := v[k+1] - kg*c.unit; w < v[k] {
			v[k], from[k], packs[k] = w, from[k+1], packs[k+1]
		}
	}
	top := max(c.top[s.Stop], c.at(c.depart[s.Stop]))
	for k := range v {
		if to := min(k, top); v[k] < c.next[to] && packs[k] != [2]int16{} {
			c.next[to] = v[k]
			steps[to] = step{from[k], -1, packs[k]}
		}
	}
}

// buy adds packs of one offer.
func (c *chain) buy(v []float64, from []int32, packs [][2]int16, at, far int, price float64, limit int) {
	last := len(v) - 1
	if limit > mostLimit {
		for k := range v {
			to := min(k+far, last)
			if w := v[k] + price; w < v[to] {
				v[to], from[to], packs[to] = w, from[k], packs[k]
				packs[to][at]++
			}
		}
		return
	}
	for k := last - 1; k >= 0; k-- { // beyond the last position there is nothing
		if j := (last - k + far - 1) / max(far, 1); j <= limit && v[k]+float64(j)*price < v[last] {
			v[last], from[last], packs[last] = v[k]+float64(j)*price, from[k], packs[k]
			packs[last][at] += int16(j)
		}
	}
	for k := last - 1; k >= far; k-- {
		best, count := v[k], 0
		for j := 1; j <= limit && j*far <= k; j++ {
			if w := v[k-j*far] + float64(j)*price; w < best {
				best, count = w, j
			}
		}
		if count > 0 {
			b := k - count*far
			v[k], from[k], packs[k] = best, from[b], packs[b]
			packs[k][at] += int16(count)
		}
	}
}

// miss goes without up to an amount of use, or skips use to keep more for
// later.
func (c *chain) miss(use float64, steps []step) {
	miss := c.n.Miss - c.taste
	to := c.at(use)
	for k := 0; k < to && k < c.size; k++ {
		if v := c.cost[k] + (use-float64(k)*c.unit)*miss; v < c.cost[to] {
			c.cost[to], steps[to] = v, steps[k]
		}
		c.cost[k] = math.Inf(1)
	}
	if c.n.ReserveMiss == 0 {
		return
	}
	for k := to + 1; k < c.size; k++ {
		if v := c.cost[k-1] + c.unit*miss; v < c.cost[k] {
			c.cost[k], steps[k] = v, steps[k-1]
		}
	}
}

// leave throws away what will not pay and pays for the room of the rest. A
// position may stand for a little less than it says, so that the room of its
// last unit is free.
func (c *chain) leave(p *Prices, stop int) {
	steps := c.steps[stop]
	low, top := c.at(c.depart[stop]), c.top[stop]
	for k := c.size - 2; k >= low; k-- {
		if c.cost[k+1] < c.cost[k] {
			c.cost[k], steps[k] = c.cost[k+1], steps[k+1]
		}
	}
	for k := max(top, low) + 1; k < c.size; k++ {
		c.cost[k] = math.Inf(1)
	}
	hold, held := 0.0, c.depart[stop]
	for k := low + 1; k <= top; k++ {
		hold += (float64(k-1)*c.unit - held) * c.rate(p, stop, held)
		held = float64(k-1) * c.unit
		c.cost[k] += hold
	}
}

// rate is the price of holding, from a departure on, a unit that is used at a
// position: that of the cheapest room in which any such unit lasts.
func (c *chain) rate(p *Prices, q int, position float64) float64 {
	least, any := math.Inf(1), math.Inf(1)
	for r, room := range c.rooms {
		price := p.Cell[room][q]
		any = min(any, price)
		if c.far[q][r] > position+1e-9 {
			least = min(least, price)
		}
	}
	if math.IsInf(least, 1) {
		least = any
	}
	return least*c.litres + p.Cell[len(p.Cell)-1][q]*c.kg
}

// land is what a leg uses and the reserve that lacks on its arrival.
func (c *chain) land(leg int) {
	steps := c.landed[leg]
	for k := range steps {
		steps[k] = step{from: int32(k)}
	}
	use, due := c.arrive[leg+1], c.n.Due[leg]
	c.miss(use, steps)
	if c.n.ReserveMiss == 0 || due <= 0 {
		return
	}
	for k := c.at(use); k < c.size; k++ {
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

// packs are those of the cheapest walk last found, and where nothing is
// carried away.
func (c *chain) trace(s *Schedule) {
	at := 0
	for k, v := range c.cost {
		if v < c.cost[at] {
			at = k
		}
	}
	for stop := len(c.sold) - 1; stop >= 0; stop-- {
		t := c.steps[stop][at]
		s.Stay[stop] = t.packs == [2]int16{}
		if i := c.sold[stop]; i >= 0 {
			for k, o := range c.n.Sources[i].Offers {
				s.Packs[o] = int(t.packs[k])
				if t.deal >= 0 {
					s.Packs[o] = c.deals[stop][t.deal].packs[k]
				}
				s.Packs[o] = min(s.Packs[o], c.n.Offers[o].Limit)
			}
		}
		if at = int(t.from); stop > 0 {
			at = int(c.landed[stop-1][at].from)
		}
	}
}

// walk is the schedule of a need's chain at the prices.
func (k *seeker) walk(need int) *Schedule {
	c := k.chains[need]
	k.work.Left -= 10
	c.bound(k.prices, need)
	var best *Schedule
	value := math.Inf(1)
	for mode := range modes {
		s := newSchedule(k.m, k.m.Needs[need])
		c.trace(s)
		s.Mode = mode
		if v := k.value(need, s); v < value {
			best, value = s, v
		}
	}
	return best
}
