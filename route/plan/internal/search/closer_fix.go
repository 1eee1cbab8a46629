package search

import (
	"math"
	"sort"
)

// fix lists limits within a part that nothing cheaper than the known cost
// crosses: at the part's worths a source that does so loses as much against
// its best as the bound lacks.
func (c *closer) fix(p *part) []limit {
	c.set(p.worth)
	bound, _ := c.price(none)
	margin := c.enough() - bound - c.paid()
	if margin <= 0 {
		return nil
	}
	var limits []limit
	c.effort += float64(len(c.h.sources)) / 13
	for i := range c.h.sources {
		limits = c.fixSource(i, margin, limits)
	}
	return limits
}

// fixSource adds the limits of one source.
func (c *closer) fixSource(i int, margin float64, limits []limit) []limit {
	o := &c.h.sources[i]
	c.h.market(o)
	fixed, may := c.fixed(i)
	direct, carried := math.Inf(-1), math.Inf(-1)
	if c.away[i] != yes {
		c.h.add(false)
		direct, _ = c.h.buy(o)
	}
	if may {
		c.h.add(true)
		carried, _ = c.h.buy(o)
		carried -= fixed
	}
	least := max(direct, carried) - margin
	if may && c.away[i] == either && o.source.Aboard < 0 {
		switch {
		case carried < least:
			limits, may = append(limits, limit{kind: ofSource, at: i}), false
		case direct < least:
			limits = append(limits, limit{kind: ofSource, at: i, upper: true})
		}
	}
	for _, at := range o.source.Offers {
		limits = c.fixOffer(i, at, may, fixed, least, limits)
	}
	return limits
}

// fixOffer adds the limits of one offer of a source that must earn so much.
func (c *closer) fixOffer(i, at int, may bool, fixed, least float64, limits []limit) []limit {
	o := &c.h.sources[i]
	offer := &c.n.Offers[at]
	whole := *offer
	earns := func(from, to int) bool {
		offer.Min, offer.Limit = from, to
		defer func() { *offer = whole }()
		if c.away[i] != yes {
			c.h.add(false)
			if earned, _ := c.h.buy(o); earned >= least {
				return true
			}
		}
		if may {
			c.h.add(true)
			if earned, _ := c.h.buy(o); earned-fixed >= least {
				return true
			}
		}
		return false
	}
	// More packs earn less beyond the best count, so that both ends are found by
	// halves, the higher one from a count doubled until it is too high.
	top := whole.Min
	for step := 1; top < whole.Limit && earns(top+1, whole.Limit); step *= 2 {
		top = min(top+step, whole.Limit)
	}
	high := whole.Min + sort.Search(top-whole.Min, func(x int) bool { return !earns(whole.Min+x+1, whole.Limit) })
	low := whole.Min + sort.Search(high-whole.Min, func(x int) bool { return earns(whole.Min, whole.Min+x) })
	if high < whole.Limit {
		limits = append(limits, limit{kind: ofPacks, at: at, most: high})
	}
	if low > whole.Min {
		limits = append(limits, limit{kind: ofPacks, at: at, most: low - 1, upper: true})
	}
	return limits
}
