package risk

import "math"

// decide lists what to carry away for a need.
func (c *counter) decide(w *walker, n int) {
	nd, s, k := &w.needs[n], c.stop, &w.look
	if len(nd.bought[s]) == 0 && !c.anything(n) {
		return
	}
	k.ahead(w, n, s)
	wanted := len(c.wants)
	c.planned(w, nd, n)
	first := len(c.wants)
	for q := 2*s + 1; q < 2*len(w.stops)-1; q++ {
		c.fill(w, nd, n, q, k.lack[q]-nd.given[q], urgent)
		c.fill(w, nd, n, q, min(k.lack[q], nd.given[q]), useful)
		c.bringForward(w, nd, n, q, k.late[q])
	}
	c.keepReserve(w, nd, n)
	c.dropPetty(nd, s, first)
	c.beSafe(w, nd, n, wanted)
}

// anything says whether any item of a need is on the shelf.
func (c *counter) anything(n int) bool {
	for i := range c.baskets[n] {
		if c.baskets[n][i].most > 0 {
			return true
		}
	}
	return false
}

// planned takes what the plan buys, less what is left over or dearer than
// waiting, in whole packs.
func (c *counter) planned(w *walker, nd *need, n int) {
	k := &w.look
	for i, x := range nd.bought[c.stop] {
		it := &nd.items[x.item]
		if math.IsInf(c.cost(n, x.item), 1) {
			continue
		}
		cut := k.deferred[i]
		cut += max(min(x.amount-cut, k.surplus/it.yield, k.spare/it.yield), 0)
		pack := it.offers[c.stop][0].Pack
		amount := x.amount - math.Floor(cut/pack+1e-6)*pack
		if cut >= x.amount-speck {
			amount = 0
		}
		over := (x.amount - max(amount, 0)) * it.yield
		k.surplus, k.spare = k.surplus-over, k.spare-over
		if amount <= speck {
			continue
		}
		c.wants = append(c.wants, want{need: n, item: x.item, space: x.space, amount: amount, rank: asPlanned,
			last: 2*len(w.stops) - 2, benefit: amount * it.yield * nd.miss})
	}
}

// fill wants an amount for a period where it costs less here than waiting.
func (c *counter) fill(w *walker, nd *need, n, q int, amount float64, rank int) {
	if amount <= speck {
		return
	}
	i := c.serves(w, nd, n, q)
	if i < 0 {
		return
	}
	cost, beyond := c.cost(n, i), nd.wait[c.stop][q]
	if cost >= beyond*(1-worthwhile) {
		return
	}
	if q > 2*nd.seller[c.stop] && rank == urgent {
		rank = useful
	}
	c.want(w, n, i, q, amount/nd.items[i].yield, rank, amount*(beyond-cost))
}

// bringForward buys here what the plan buys later, where the price here is
// lower, or waiting dearer, than the plan thought.
func (c *counter) bringForward(w *walker, nd *need, n, q int, amount float64) {
	if amount <= speck {
		return
	}
	i := c.serves(w, nd, n, q)
	if i < 0 {
		return
	}
	cost, beyond := c.cost(n, i), nd.wait[c.stop][q]
	gain := beyond - nd.blind[c.stop][q] + nd.items[i].expected(c.stop) - cost
	if gain = min(gain, beyond-cost); gain > worthwhile*cost {
		c.want(w, n, i, q, amount/nd.items[i].yield, useful, amount*gain)
	}
}

// serves is the cheapest item on the shelf that lasts through a period; -1
// for none.
func (c *counter) serves(w *walker, nd *need, n, q int) int {
	end, best := endOf(w, q), -1
	for i := range nd.items {
		it := &nd.items[i]
		if c.baskets[n][i].most <= 0 || q >= 2*it.lost[c.stop] || w.depart[c.stop]+it.longest[c.stop] < end {
			continue
		}
		if best < 0 || c.cost(n, i) < c.cost(n, best) {
			best = i
		}
	}
	return best
}

func endOf(w *walker, q int) float64 {
	if q%2 == 1 {
		return w.arrive[q/2+1]
	}
	return w.depart[q/2]
}

// want adds to a want of the same item and rank, or makes one.
func (c *counter) want(w *walker, n, i, q int, amount float64, rank int, benefit float64) {
	for j := len(c.wants) - 1; j >= 0 && c.wants[j].need == n; j-- {
		if x := &c.wants[j]; x.item == i && x.rank == rank && x.space < 0 {
			x.amount += amount
			x.benefit += benefit
			x.until, x.last = max(x.until, endOf(w, q)), max(x.last, q)
			return
		}
	}
	c.wants = append(c.wants, want{need: n, item: i, space: -1, amount: amount, until: endOf(w, q), last: q, rank: rank, benefit: benefit})
}

// keepReserve fills up what the reserves lack on the arrivals before the next
// stop that sells anything. It is food for later, bought earlier.
func (c *counter) keepReserve(w *walker, nd *need, n int) {
	lacking, at := 0.0, 0
	for leg := c.stop; leg < max(nd.seller[c.stop], c.stop+1) && leg < len(w.stops)-1; leg++ {
		if w.look.reserve[leg] > lacking {
			lacking, at = w.look.reserve[leg], leg
		}
	}
	if lacking <= speck {
		return
	}
	i := c.serves(w, nd, n, 2*at+1)
	if i < 0 {
		return
	}
	cost := c.cost(n, i)
	beyond := min(nd.wait[c.stop][min(2*at+3, 2*len(w.stops)-2)], cost) + nd.reserveMiss
	if cost < beyond {
		c.want(w, n, i, 2*at+1, lacking/nd.items[i].yield, urgent, lacking*(beyond-cost))
	}
}

// dropPetty forgets wants that are not worth the line and the packs they make.
func (c *counter) dropPetty(nd *need, s, first int) {
	kept := c.wants[:first]
	for _, x := range c.wants[first:] {
		it, b := &nd.items[x.item], &c.baskets[x.need][x.item]
		line, with := it.line, b.ashore
		for _, p := range nd.bought[s] {
			if p.item == x.item {
				line = 0
				with += p.amount
			}
		}
		before, _ := bill(it.offers[s], with)
		after, _ := bill(it.offers[s], with+x.amount)
		surplus := (after-before)*b.factor - x.amount*(b.cost*it.yield-it.taste)
		if x.benefit > line+surplus*wasted {
			kept = append(kept, x)
		}
	}
	c.wants = kept
}

// wasted is the share counted as lost of what packs hold beyond what is
// wanted: some of it is eaten later in place of something bought.
const wasted = 0.5
