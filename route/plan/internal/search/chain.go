package search

import (
	"math"
	"slices"
)

// chain bounds a need by how far along its use what is aboard reaches: a
// position, counted in need-units from the start of the route. It forgets
// which item is aboard, so that any of it may last as long as the one that
// lasts longest and take the room of the least bulky; for a need of one item,
// where what is bought first is eaten first, next to nothing is lost by that.
// Packs, lines and reserves are whole. Positions are kept on a lattice and
// rounded up, and where that is not exact costs err downwards: no schedule
// costs less than the cheapest walk over the stops.
type chain struct {
	n      *Need
	unit   float64
	size   int       // number of positions
	arrive []float64 // use before the arrival at a stop
	depart []float64 // use before the departure
	sold   [][]int   // per stop: the sources sold there
	start  float64   // what is aboard on day 0
	taste  float64   // of the best liked source
	waste  float64   // most that a unit costs beyond that in taste, not paid when it is not eaten
	forced float64   // price of the packs that must be bought
	lasts  [][]last  // per departure: what is held
	top    []int     // per departure: the farthest position worth holding
	covers []bool    // per leg: something bought before can count for the reserve
	deals  [][]deal  // per stop: packs worth buying to be eaten in port
	goods  [][]good  // per source
	fits   []int     // per departure: the farthest for which there is room now
	mixed  bool      // of several items: what it finds is far from what can be done

	shared *slate
	slate  // the shared one, as long as the lattice
}

// last says how far what an item holds in a room can go.
type last struct {
	room       int
	litres, kg float64
	far        float64
}

// good is an offer, or the part of it that must be bought.
type good struct {
	offer, far, limit int
	price             float64 // with what its taste costs more
}

// The lattice has about so many positions, and never much more.
const (
	fewPositions  = 700
	mostPositions = 2500
	mostGoods     = 6  // of a source
	mostDeals     = 16 // of a stop
)

// newChain is nil where the packs are too small for a lattice or there is
// nothing to do.
func newChain(m *Model, n *Need, shared *slate) *chain {
	c := &chain{n: n, shared: shared, sold: make([][]int, m.Stops), taste: math.Inf(1)}
	least, span := math.Inf(1), 0.0
	for i := range n.Sources {
		s := &n.Sources[i]
		c.taste = min(c.taste, s.Taste)
		c.mixed = c.mixed || s.Item != n.Sources[0].Item
		if s.Aboard >= 0 {
			c.start += s.Held
			continue
		}
		c.sold[s.Stop] = append(c.sold[s.Stop], i)
	}
	for _, o := range n.Offers {
		least = min(least, o.Size)
		c.forced += float64(o.Min) * o.Price
	}
	if len(n.Due) > 0 {
		span = slices.Max(n.Due)
	}
	for p := range m.Stops {
		c.arrive, c.depart = append(c.arrive, c.useBefore(2*p)), append(c.depart, c.useBefore(2*p+1))
	}
	span += c.depart[m.Stops-1]
	if span <= Slack || math.IsInf(least, 1) || span/least > mostPositions {
		return nil
	}
	c.choose(span, least)
	c.size = c.at(span+least) + 2
	if !c.list() {
		return nil
	}
	c.reach(m)
	for stop := range m.Stops {
		c.deals = append(c.deals, c.inPort(stop))
	}
	shared.fit(m.Stops, len(n.Sources), c.size)
	return c
}

func (c *chain) useBefore(period int) float64 {
	use := 0.0
	for _, g := range c.n.Segments {
		if g.Period < period {
			use += g.Amount
		}
	}
	return use
}

// choose divides the smallest pack so that other packs are near to whole
// units too.
func (c *chain) choose(span, least float64) {
	low := max(1, int(math.Ceil(fewPositions*least/span)))
	best := math.Inf(1)
	for parts := low; parts <= 2*low+1; parts++ {
		unit, off := least/float64(parts), 0.0
		for _, o := range c.n.Offers {
			off += math.Ceil(o.Size/unit-1e-7)*unit/o.Size - 1
		}
		if off < best-1e-9 {
			best, c.unit = off, unit
		}
	}
}

// at is the position that is at least an amount.
func (c *chain) at(amount float64) int { return int(math.Ceil(amount/c.unit - 1e-7)) }

// list lists the goods of every source, false where there are too many.
func (c *chain) list() bool {
	c.goods = make([][]good, len(c.n.Sources))
	for i := range c.n.Sources {
		s := &c.n.Sources[i]
		more := s.Taste - c.taste
		c.waste = max(c.waste, more)
		for _, o := range s.Offers {
			offer := &c.n.Offers[o]
			g := good{o, c.at(offer.Size), offer.Limit - offer.Min, offer.Price + more*offer.Size}
			if offer.Min > 0 {
				c.goods[i] = append(c.goods[i], good{o, g.far, offer.Min, more * offer.Size})
			}
			c.goods[i] = append(c.goods[i], g)
		}
		if len(c.goods[i]) > mostGoods {
			return false
		}
	}
	return true
}
