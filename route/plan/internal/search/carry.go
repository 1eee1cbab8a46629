package search

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
