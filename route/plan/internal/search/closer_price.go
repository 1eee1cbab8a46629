package search

import (
	"math"
	"slices"

	"hardtack/route/plan/internal/simplex"
)

// Which columns price makes, when not those of one source.
const (
	gainful = -1 - iota // all that the mix gains by
	none
)

// price bounds the part at hand by the worths at hand: every source does what
// earns most. That becomes a column where the mix gains by it, or whether or not
// it does of one source only; how many do is returned too.
func (c *closer) price(only int) (bound float64, added int) {
	h := c.h
	bound = -c.dearer()
	c.effort += float64(len(h.sources)) / 13
	for g, segment := range c.n.Segments {
		bound += segment.Amount * h.worth[g]
	}
	for leg, due := range c.n.Due {
		bound += due * h.keep[leg]
	}
	for i := range h.sources {
		o := &h.sources[i]
		h.market(o)
		most := math.Inf(-1)
		if c.away[i] != yes {
			h.add(false)
			earned, amount := h.buy(o)
			most = earned
			added += c.sell(i, amount, false, only)
		}
		if fixed, may := c.fixed(i); may {
			h.add(true)
			earned, amount := h.buy(o)
			most = max(most, earned-fixed)
			added += c.sell(i, amount, true, only)
		}
		bound -= most
	}
	return bound, added
}

// sell makes what a source sells of an amount, in the packs last bought, a
// column when that is wanted, and says how many columns that is.
func (c *closer) sell(source int, amount float64, carried bool, only int) int {
	if only != gainful && only != source {
		return 0
	}
	o := &c.h.sources[source]
	d := sold{source: source, carried: carried, packs: c.h.bought}
	if o.source.Aboard >= 0 {
		d.packs = nil
	}
	for k, at := range o.source.Offers {
		d.cost += float64(d.packs[k]) * c.n.Offers[at].Price
	}
	clear(c.use)
	for _, s := range c.h.sales {
		if s.carried && !carried {
			continue
		}
		part := min(amount, s.amount)
		if part <= 0 {
			break
		}
		amount -= part
		c.count(&d, o, s.use, part)
	}
	c.use[c.first+source] = 1
	cost, _ := c.cost(&d)
	reduced := cost
	for row, v := range c.use {
		if v > 0 {
			reduced -= c.lp.Dual(row) * v
		}
	}
	if only == gainful && reduced > -1e-9*(1+cost) {
		return 0
	}
	var entries []simplex.Entry
	for row, v := range c.use {
		if v > 0 {
			entries = append(entries, simplex.Entry{Row: row, Value: v})
		}
	}
	d.packs = slices.Clone(d.packs)
	d.column = c.lp.Add(cost, entries)
	c.deals = append(c.deals, d)
	return 1
}

// count adds a part sold on a use to a column.
func (c *closer) count(d *sold, o *outlet, u *use, part float64) {
	d.cost += part * u.cost
	d.flows = append(d.flows, Flow{Source: d.source, Way: u.way, Segment: u.segment, To: u.to, Amount: part})
	if u.segment >= 0 {
		c.use[u.segment] += part
	}
	if u.way < 0 {
		return
	}
	c.hold(o.source, u, part)
	for leg := o.source.Stop; leg <= u.until; leg++ {
		if c.legs[leg] >= 0 && o.covers[u.way][leg] {
			c.use[c.legs[leg]] += part
		}
	}
}
