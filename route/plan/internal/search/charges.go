package search

import (
	"math"
	"slices"
)

// charges are what units of a need's sources cost at the prices, without the
// packs. They stay the same while many schedules of the need are tried.
type charges struct {
	need    *Need
	prices  *Prices
	settled int         // times the prices had been settled
	unit    []float64   // per source and segment: held where that is cheapest, and eaten; +Inf where it does not serve
	ways    []pricedWay // per source, segment and way: those that last, the cheapest first
	ranks   []int32     // per segment: the sources that serve it, the cheapest first; empty until asked for
}

// pricedWay is a way that lasts, with the price of a unit kept on it; with way
// -1 there are no more.
type pricedWay struct {
	way   int
	price float64
}

// charge makes the charges those of a need at the prices of now.
func (a *allocator) charge(n *Need) *charges {
	c := a.charges
	if c.need == n && c.prices == a.prices && c.settled == a.prices.settled {
		return c
	}
	c.need, c.prices, c.settled, c.ranks = n, a.prices, a.prices.settled, c.ranks[:0]
	segments, l := len(n.Segments), n.lay
	c.unit = slices.Grow(c.unit[:0], len(n.Sources)*segments)[:len(n.Sources)*segments]
	c.ways = slices.Grow(c.ways[:0], len(c.unit)*l.ways)[:len(c.unit)*l.ways]
	for i := range n.Sources {
		s, x, unit := &n.Sources[i], &l.spans[i], c.unit[i*segments:(i+1)*segments]
		for g := range unit {
			switch {
			case !x.serves(g):
				unit[g] = math.Inf(1)
			case x.direct(g):
				unit[g] = s.Taste
			default:
				unit[g] = s.Taste + c.sort(s, x, g, int(l.to[g]), c.lasting(i, g))
			}
		}
	}
	return c
}

// lasting lists the ways of a source that last for a segment which it serves
// from stores: the cheapest first, then the one of the shortest life.
func (c *charges) lasting(i, g int) []pricedWay {
	at, most := i*len(c.need.Segments)+g, c.need.lay.ways
	return c.ways[at*most : (at+1)*most]
}

// sort fills in the ways that last and returns the price of the cheapest.
func (c *charges) sort(s *Source, x *span, g, to int, ways []pricedWay) float64 {
	count := 0
	for w, end := range x.ways {
		if g >= int(end) {
			continue
		}
		ways[count] = pricedWay{w, c.prices.hold(s, s.Ways[w], to)}
		for k := count; k > 0; k-- {
			p, q := ways[k-1], ways[k]
			if p.price < q.price || p.price == q.price && s.Ways[p.way].Expires <= s.Ways[q.way].Expires {
				break
			}
			ways[k-1], ways[k] = q, p
		}
		count++
	}
	for k := count; k < len(ways); k++ {
		ways[k].way = -1
	}
	return ways[0].price
}

// ranked lists the sources that serve a segment, what costs least to hold and
// eat first, then what expires first ahead.
func (c *charges) ranked(g int) []int32 {
	l, segments := c.need.lay, len(c.need.Segments)
	if len(c.ranks) == 0 {
		for g := range segments {
			start := len(c.ranks)
			for _, i := range l.byLife {
				if !l.spans[i].serves(g) {
					continue
				}
				c.ranks = append(c.ranks, i)
				cost := c.unit[int(i)*segments+g]
				for k := len(c.ranks) - 1; k > start && c.unit[int(c.ranks[k-1])*segments+g] > cost; k-- {
					c.ranks[k-1], c.ranks[k] = i, c.ranks[k-1]
				}
			}
		}
	}
	return c.ranks[l.starts[g]:l.starts[g+1]]
}
