package search

import (
	"math"
	"slices"
)

// part is a part of all schedules of a need: those with so many packs of some
// offers, and with something or nothing carried away from some sources and
// stops. Its limits are its own and those of the part it was split from.
type part struct {
	from  *part
	limit limit
	bound float64
	worth []float64 // good ones, of segments and then legs
}

// limit is one choice made: of an offer's packs, a source or a stop.
type limit struct {
	kind  byte
	at    int
	upper bool // the higher half: more packs than most, or something carried away
	most  int  // packs of the lower half
}

const (
	ofPacks byte = iota + 1
	ofSource
	ofStop
)

// enter makes a part the one at hand.
func (c *closer) enter(p *part) {
	copy(c.n.Offers, c.whole.Offers)
	clear(c.away)
	clear(c.trips)
	for q := p; q != nil; q = q.from {
		answer := no
		if q.limit.upper {
			answer = yes
		}
		switch l := q.limit; l.kind {
		case ofPacks:
			if o := &c.n.Offers[l.at]; l.upper {
				o.Min = max(o.Min, l.most+1)
			} else {
				o.Limit = min(o.Limit, l.most)
			}
		case ofSource:
			c.away[l.at] = answer
		case ofStop:
			c.trips[l.at] = answer
		}
	}
	for i := range c.n.Sources {
		c.lp.SetCost(c.first+i, c.nothing(i))
	}
	for k := range c.deals {
		c.lp.SetCost(c.deals[k].column, c.cost(&c.deals[k]))
	}
	c.lp.Price()
	c.set(p.worth)
}

// paid is what the part at hand pays for trips in any case.
func (c *closer) paid() float64 {
	paid := 0.0
	for stop, made := range c.trips {
		if made == yes {
			paid += c.open[stop]
		}
	}
	return paid
}

const (
	halfway    = 0.5  // towards the worths of the best bound
	nearEnough = 0.02 // of what is missing to the known cost: then a part is split
)

// raise raises a part's bound by prices and mixes in turn, until it reaches the
// known cost or nearly that of the mix, or exactly when that is wanted. It
// returns the cost of the mix, and whether it came to an end before its effort.
func (c *closer) raise(p *part, exactly bool) (cost float64, ended bool) {
	c.enter(p)
	paid := c.paid()
	first, _ := c.price()
	best := first + paid
	cost = math.Inf(1)
	for added := 1; added > 0 && best < c.enough(); {
		if !c.solve() {
			p.bound = max(p.bound, best)
			return cost, false
		}
		cost = c.lp.Cost() + paid
		if cost-best < 1e-7*(1+cost) || !exactly && cost < c.known && cost-best < nearEnough*(c.known-best) {
			break
		}
		for _, mean := range [2]float64{halfway, 0} {
			c.blend(p.worth, mean)
			bound, more := c.price()
			if bound += paid; bound > best {
				best = bound
				p.worth = c.worths()
			}
			if added = more; added > 0 {
				break
			}
		}
	}
	p.bound = max(p.bound, best)
	return cost, true
}

// solve mixes, unless the effort is spent before.
func (c *closer) solve() bool {
	for c.effort < c.until {
		pivots := c.lp.Solve(fewPivots)
		c.effort += float64(pivots*c.rows*c.rows) / 15_000
		if pivots < fewPivots {
			return true
		}
	}
	return false
}

// enough is a bound that need not be raised.
func (c *closer) enough() float64 { return c.known - 1e-6*(1+math.Abs(c.known)) }

// bound is what the need costs at least, as far as is known.
func (c *closer) bound() float64 {
	bound := min(c.enough(), c.done)
	for _, p := range c.parts {
		bound = min(bound, p.bound)
	}
	c.proven = max(c.proven, bound)
	return c.proven
}

// lowest takes the part with the lowest bound, nil when none is left that may
// hold anything cheaper than what is known.
func (c *closer) lowest() *part {
	at := -1
	for k, p := range c.parts {
		if at < 0 || p.bound < c.parts[at].bound {
			at = k
		}
	}
	if at < 0 || c.parts[at].bound >= min(c.enough(), c.done) {
		return nil
	}
	p := c.parts[at]
	c.parts = slices.Delete(c.parts, at, at+1)
	return p
}
