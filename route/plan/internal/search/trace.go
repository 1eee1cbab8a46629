package search

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
			if at = int(c.buys[i].from[at]); at < 0 { // the first that was bought
				at = -1 - at
				break
			}
		}
	}
	if d := stay.packs[at][0]; d > 0 {
		for o, packs := range c.deals[stop][d-1].packs {
			counts[o] += packs
		}
	}
	return int(stay.from[at])
}
