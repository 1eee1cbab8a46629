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

// carry adds what is come to by buying packs to carry away.
func (c *chain) carry(p *Prices, need, stop int, folded int32) {
	heaviest := 0.0
	for _, i := range c.sold[stop] {
		if len(c.n.Sources[i].Ways) > 0 {
			heaviest = max(heaviest, c.n.Sources[i].Kg*p.Kg[stop])
		}
	}
	v, use, start := c.value[:c.high+1], c.depart[stop]-c.arrive[stop], c.starts[stop]
	start.same()
	start.from[c.high] = folded
	for k := c.low; k <= c.high; k++ { // what is eaten in port of what is carried is not carried
		v[k] = c.cost[k] + p.Open[need][stop] - heaviest*use
	}
	for d, deal := range c.deals[stop] {
		c.eat(v, start, stop, d, deal.price+p.Open[need][stop]-heaviest*max(0, use-float64(deal.far-1)*c.unit), folded)
	}
	back := (heaviest + c.waste) * c.unit
	for _, i := range c.sold[stop] {
		c.buy(v, i, p.Kg[stop]*c.n.Sources[i].Kg, back)
	}
	drop := c.drops[stop]
	drop.same()
	for k := c.high - 1; k >= c.low && heaviest > 0; k-- { // what is thrown away at once is not carried
		if w := v[k+1] - back; w < v[k] {
			v[k], drop.from[k] = w, drop.from[k+1]
		}
	}
	for k := c.low; k <= c.high; k++ {
		if v[k] < c.next[k] && !c.idle(stop, int(drop.from[k])) {
			c.next[k] = v[k]
			c.carried[stop][k] = true
			c.stays[stop].from[k] = drop.from[k] // as it was before anything was thrown away
		}
	}
}

// idle says whether a position is come to without buying anything.
func (c *chain) idle(stop, k int) bool {
	for j := len(c.sold[stop]) - 1; j >= 0; j-- {
		if i := c.sold[stop][j]; c.buys[i].packs[k] != [mostGoods]int16{} {
			return false
		}
	}
	return true
}

// buy adds packs of a source; back is what a unit of position gives back that
// goes farther than is worth it.
func (c *chain) buy(v []float64, source int, kg, back float64) {
	l, s := c.buys[source], &c.n.Sources[source]
	l.same()
	if len(s.Ways) == 0 {
		return
	}
	u := c.spare[:len(v)]
	for k := c.low; k < len(v); k++ {
		u[k] = v[k] + s.Line
	}
	for at, g := range c.goods[source] {
		g.price += kg * c.n.Offers[g.offer].Size
		if g.limit*g.far >= len(v)-c.low {
			c.buyAny(u, l, at, g, back)
		} else {
			c.buyFew(u, l, at, g, back)
		}
	}
	for k := c.low; k < len(v); k++ {
		if u[k] < v[k] && l.packs[k] != [mostGoods]int16{} {
			v[k] = u[k]
		} else {
			l.from[k], l.packs[k] = int32(k), [mostGoods]int16{}
		}
	}
}

// buyAny adds packs of which there is no limit.
func (c *chain) buyAny(u []float64, l layer, at int, g good, back float64) {
	last := len(u) - 1
	for k := c.low; k < last; k++ {
		to := min(k+g.far, last)
		if w := u[k] + g.price - float64(k+g.far-to)*back; w < u[to] {
			u[to], l.from[to], l.packs[to] = w, l.from[k], l.packs[k]
			l.packs[to][at]++
		}
	}
}

// buyFew adds up to a limit of packs.
func (c *chain) buyFew(u []float64, l layer, at int, g good, back float64) {
	last := len(u) - 1
	for k := c.low; k < last; k++ { // beyond the last position nothing is worth it
		j := (last - k + g.far - 1) / g.far
		if w := u[k] + float64(j)*g.price - float64(k+j*g.far-last)*back; j <= g.limit && w < u[last] {
			u[last], l.from[last], l.packs[last] = w, l.from[k], l.packs[k]
			l.packs[last][at] += int16(j)
		}
	}
	for k := last - 1; k >= c.low+g.far; k-- {
		best, count := u[k], 0
		for j := 1; j <= g.limit && k-j*g.far >= c.low; j++ {
			if w := u[k-j*g.far] + float64(j)*g.price; w < best {
				best, count = w, j
			}
		}
		if count > 0 {
			b := k - count*g.far
			u[k], l.from[k], l.packs[k] = best, l.from[b], l.packs[b]
			l.packs[k][at] += int16(count)
		}
	}
}

// miss goes without up to an amount of use, or skips use to keep more for
// later.
func (c *chain) miss(use float64, l layer) {
	miss := c.n.Miss - c.taste
	to := c.at(use)
	for k := 0; k < to && k < c.size; k++ {
		if v := c.cost[k] + (use-float64(k)*c.unit)*miss; v < c.cost[to] {
			c.cost[to], l.from[to] = v, l.from[k]
		}
		c.cost[k] = math.Inf(1)
	}
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

// trace sets the packs of the cheapest walk last found, and where nothing is
// carried away.
func (c *chain) trace(s *Schedule) {
	at, _ := c.end()
	for o := range c.n.Offers {
		s.Packs[o] = c.n.Offers[o].Min
	}
	counts := make([]int, len(c.n.Offers))
	for stop := len(c.sold) - 1; stop >= 0; stop-- {
		at = int(c.ends[stop].from[at])
		s.Stay[stop] = !c.carried[stop][at]
		if len(c.sold[stop]) > 0 {
			at = c.traceStop(stop, at, counts)
		}
		if stop > 0 {
			at = int(c.lands[stop-1].from[at])
		}
	}
	for o, count := range counts {
		s.Packs[o] = min(max(s.Packs[o], count), c.n.Offers[o].Limit)
	}
}

// traceStop counts what is bought at a stop and returns the position before.
func (c *chain) traceStop(stop, at int, counts []int) int {
	stay, carried := c.stays[stop], c.carried[stop][at]
	if carried {
		at, stay = int(stay.from[at]), c.starts[stop]
		for j := len(c.sold[stop]) - 1; j >= 0; j-- {
			i := c.sold[stop][j]
			for k, packs := range c.buys[i].packs[at] {
				if packs > 0 {
					counts[c.goods[i][k].offer] += int(packs)
				}
			}
			at = int(c.buys[i].from[at])
		}
	}
	if d := stay.packs[at][0]; d > 0 {
		for o, packs := range c.deals[stop][d-1].packs {
			counts[o] += packs
		}
	}
	return int(stay.from[at])
}

// effort is the work of a walk, in schedules allocated.
func (c *chain) effort() int { return 10 + c.size*len(c.n.Sources)/1000 }

// near is how near, as a part, sharing out what a walk bought must come to
// what the walk thought it costs.
const near = 3e-3

// walk is the schedule that a need's chain finds at the prices, and whether
// it costs about what the chain thought.
func (k *seeker) walk(need int) (best *Schedule, value float64, good bool) {
	c := k.chains[need]
	k.work.Left -= c.effort()
	bound := c.bound(k.prices, need)
	value = math.Inf(1)
	for mode := range modes {
		s := newSchedule(k.m, k.m.Needs[need])
		c.trace(s)
		s.Mode = mode
		if v := k.value(need, s); v < value {
			best, value = s, v
		}
	}
	return best, value, value <= bound+near*value
}
