package search

import "math"

// carry adds what is come to by buying packs to carry away.
func (c *chain) carry(p *Prices, need, stop int, folded int32) {
	heaviest := 0.0
	for _, i := range c.sold[stop] {
		if len(c.n.Sources[i].Ways) > 0 {
			heaviest = max(heaviest, c.n.Sources[i].Kg*p.Kg[stop])
		}
	}
	v, idle := c.value[:c.high+1], c.idle[:c.high+1]
	use, start := c.depart[stop]-c.arrive[stop], c.starts[stop]
	start.same()
	start.from[c.high] = folded
	// What is thrown away at once may be more than positions say, by less than
	// one of them.
	open := p.Open[need][stop] - heaviest*c.unit
	for k := c.low; k <= c.high; k++ { // what is eaten in port of what is carried is not carried
		idle[k], v[k] = c.cost[k]+open-heaviest*use, math.Inf(1)
	}
	for d, deal := range c.deals[stop] {
		c.eat(idle, start, stop, d, deal.price+open-heaviest*max(0, use-float64(deal.far-1)*c.unit), folded)
	}
	back := (heaviest + c.waste) * c.unit
	for _, i := range c.sold[stop] {
		c.buy(idle, v, i, p.Kg[stop]*c.n.Sources[i].Kg, back)
	}
	drop := c.drops[stop]
	drop.same()
	for k := c.high - 1; k >= c.low && heaviest > 0; k-- { // what is thrown away at once is not carried
		if w := v[k+1] - back; w < v[k] {
			v[k], drop.from[k] = w, drop.from[k+1]
		}
	}
	for k := c.low; k <= c.high; k++ {
		if v[k] < c.next[k] {
			c.next[k] = v[k]
			c.carried[stop][k] = true
			c.stays[stop].from[k] = drop.from[k] // as it was before anything was thrown away
		}
	}
}

// basket is what a source's packs are added to: what nothing was bought for to
// carry away, what something was of the sources before, and what now is of
// this one. Only then is what is eaten in port spared the carrying, so that
// having bought nothing must not stand in for it.
type basket struct {
	idle, before, now []float64
	line              float64
	layer             layer
}

// at is the cheapest way to a position and how it is come to; from below 0
// stands for -1-from, where nothing was bought.
func (b *basket) at(k int) (cost float64, from int32, packs [mostGoods]int16) {
	cost, from = b.before[k]+b.line, int32(k)
	if b.idle[k] < b.before[k] {
		cost, from = b.idle[k]+b.line, int32(-1-k)
	}
	if b.now[k] < cost {
		return b.now[k], b.layer.from[k], b.layer.packs[k]
	}
	return cost, from, packs
}

// buy adds packs of a source; back is what a unit of position gives back that
// goes farther than is worth it.
func (c *chain) buy(idle, v []float64, source int, kg, back float64) {
	l, s := c.buys[source], &c.n.Sources[source]
	l.same()
	if len(s.Ways) == 0 {
		return
	}
	b := &basket{idle, v, c.spare[:len(v)], s.Line, l}
	for k := range b.now {
		b.now[k] = math.Inf(1)
	}
	for at, g := range c.goods[source] {
		g.price += kg * c.n.Offers[g.offer].Size
		if g.limit*g.far >= len(v)-c.low {
			c.buyAny(b, at, g, back)
		} else {
			c.buyFew(b, at, g, back)
		}
	}
	for k := c.low; k < len(v); k++ {
		if b.now[k] < v[k] {
			v[k] = b.now[k]
		} else {
			l.from[k], l.packs[k] = int32(k), [mostGoods]int16{}
		}
	}
}

// put notes a cheaper way to a position.
func (b *basket) put(k int, cost float64, from int32, packs [mostGoods]int16, good, more int) {
	packs[good] += int16(more)
	b.now[k], b.layer.from[k], b.layer.packs[k] = cost, from, packs
}

// buyAny adds packs of which there is no limit.
func (c *chain) buyAny(b *basket, good int, g good, back float64) {
	last := len(b.now) - 1
	for k := c.low; k < last; k++ {
		to := min(k+g.far, last)
		cost, from, packs := b.at(k)
		if w := cost + g.price - float64(k+g.far-to)*back; w < b.now[to] {
			b.put(to, w, from, packs, good, 1)
		}
	}
}

// buyFew adds up to a limit of packs.
func (c *chain) buyFew(b *basket, good int, g good, back float64) {
	last := len(b.now) - 1
	for k := c.low; k < last; k++ { // beyond the last position nothing is worth it
		j := (last - k + g.far - 1) / g.far
		if cost, from, packs := b.at(k); j <= g.limit {
			if w := cost + float64(j)*g.price - float64(k+j*g.far-last)*back; w < b.now[last] {
				b.put(last, w, from, packs, good, j)
			}
		}
	}
	for k := last - 1; k >= c.low+g.far; k-- {
		for j := 1; j <= g.limit && k-j*g.far >= c.low; j++ {
			cost, from, packs := b.at(k - j*g.far)
			if w := cost + float64(j)*g.price; w < b.now[k] {
				b.put(k, w, from, packs, good, j)
			}
		}
	}
}
