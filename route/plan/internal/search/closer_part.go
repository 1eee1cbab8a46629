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
	basis []int     // of the mix from which to go on, nil at first
	next  limit     // where to split it, none before it is mixed to the end
	mixed bool      // it was mixed before
	fixed []limit   // more limits, beyond which nothing costs less than what is known
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
		c.obey(q.limit)
		for _, l := range q.fixed {
			c.obey(l)
		}
	}
	for i := range c.n.Sources {
		cost, in := c.nothing(i)
		if !in && (p.mixed || i != p.limit.source(c.n)) {
			cost, in = c.banned, true
		}
		c.permit(c.first+i, cost, in)
	}
	for k := range c.deals {
		cost, in := c.cost(&c.deals[k])
		c.permit(c.deals[k].column, cost, in)
	}
	c.lp.Price()
	c.set(p.worth)
}

// source is the one that a limit bears upon, none when it is of a stop.
func (l limit) source(n *Need) int {
	switch l.kind {
	case ofPacks:
		return n.Offers[l.at].Source
	case ofSource:
		return l.at
	}
	return none
}

// obey keeps to a limit.
func (c *closer) obey(l limit) {
	answer := no
	if l.upper {
		answer = yes
	}
	switch l.kind {
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

// permit says what a column costs and whether it may be used.
func (c *closer) permit(column int, cost float64, in bool) {
	c.lp.SetCost(column, cost)
	c.lp.Rule(column, !in)
}

// restore takes out of the mix what is not in the part at hand. A source that
// may not sell nothing still can at a price nothing is worth, so that there is
// always a mix.
func (c *closer) restore() {
	most := 4 * c.rows
	pivots, ended := c.lp.Restore(most, math.Inf(1))
	c.charge()
	for i := range c.n.Sources {
		if column := c.first + i; c.lp.RuledOut(column) {
			c.permit(column, c.banned, true)
		}
	}
	if !ended || pivots == most {
		c.start(nil)
	}
	c.lp.Price()
}

// start takes a mix up again.
func (c *closer) start(basis []int) {
	c.lp.Start(basis)
	c.charge()
}

// void says whether the limits of the part at hand leave no packs to buy: it
// holds no schedule that may cost less than what is known.
func (c *closer) void() bool {
	return slices.ContainsFunc(c.n.Offers, func(o Offer) bool { return o.Min > o.Limit })
}

// charge counts the effort of mixing.
func (c *closer) charge() {
	const perSchedule = 15_000 // numbers touched
	touched := c.lp.Touched()
	c.effort += float64(touched-c.charged) / perSchedule
	c.charged = touched
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
	steadily   = 0.9  // nearer to the worths of the best bound than to those of the mix, which swing
	nearEnough = 0.02 // of what is missing to the known cost: then a part is split
)

// raise raises a part's bound by prices and mixes in turn, until it reaches the
// known cost or nearly that of the mix, or exactly when that is wanted. It
// returns the cost of the mix, and whether it came to an end before its effort.
func (c *closer) raise(p *part, exactly bool) (cost float64, ended bool) {
	c.enter(p)
	if c.void() {
		p.bound = max(p.bound, c.enough())
		return math.Inf(1), true
	}
	paid := c.paid()
	first, _ := c.price(p.limit.source(c.n))
	best := first + paid
	cost = math.Inf(1)
	if best < c.enough() {
		c.restore()
		p.mixed = true
	}
	for added := 1; added > 0 && best < c.enough(); {
		if !c.solve() {
			p.bound = max(p.bound, best)
			return cost, false
		}
		cost = c.lp.Cost() + paid
		if cost-best < 1e-7*(1+cost) || !exactly && cost < c.known && cost-best < nearEnough*(c.known-best) {
			if c.widen() {
				continue
			}
			break
		}
		for _, mean := range [2]float64{steadily, 0} {
			c.blend(p.worth, mean)
			bound, more := c.price(gainful)
			if bound += paid; bound > best {
				best = bound
				p.worth = c.worths()
			}
			if added = more; added > 0 {
				break
			}
		}
		if added == 0 && c.widen() {
			added = 1
		}
	}
	p.bound = max(p.bound, best)
	return cost, true
}

// unsound is the effort that is given up when a mix has to be begun anew.
const unsound = 10

// solve mixes, unless the effort is spent before.
func (c *closer) solve() bool {
	for c.effort < c.until {
		pivots := c.lp.Solve(fewPivots)
		c.charge()
		switch {
		case pivots == fewPivots:
		case c.lp.Sound():
			return true
		default: // rounding has gathered
			c.start(nil)
			c.effort += unsound
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

// lowest takes the part with the lowest bound, nil when it has ended.
func (c *closer) lowest() *part {
	at := c.lowestAt()
	if at < 0 {
		return nil
	}
	p := c.parts[at]
	c.parts = slices.Delete(c.parts, at, at+1)
	return p
}

// ended says whether no part is left that may hold anything cheaper than what is
// known. What is known need not be proven then: a part may end in a mix that is
// a schedule but for a hair.
func (c *closer) ended() bool { return c.lowestAt() < 0 }

func (c *closer) lowestAt() int {
	at := -1
	for k, p := range c.parts {
		if at < 0 || p.bound < c.parts[at].bound {
			at = k
		}
	}
	if at < 0 || c.parts[at].bound >= min(c.enough(), c.done) {
		return -1
	}
	return at
}
