package search

import (
	"math"
	"slices"
)

// node is a part of all plans: those with so many trips at every stop. Its
// bound holds for all of them.
type node struct {
	low, high []float64
	bound     float64
	prices    *Prices
}

// branch splits all plans by how many trips are made at a stop, the part with
// the lowest bound first, until the bound meets the best plan or the work set
// aside is spent. Trips come in wholes, which the mix at the root ignores.
func (s *season) branch(x *mixer, work int) {
	until := s.work.Left - work
	low, high := make([]float64, s.m.Stops), make([]float64, s.m.Stops)
	for stop := range high {
		high[stop] = math.Inf(1)
	}
	open := []*node{{low, high, s.bound, x.seeker.prices}}
	closed := math.Inf(1) // lowest bound of what cannot be split further
	for len(open) > 0 && s.work.Left > until && !s.over() && s.gap() > 1e-6 {
		n := open[0]
		open = open[1:]
		if n.bound >= closed {
			break
		}
		stop, trips := s.explore(x, n)
		if stop < 0 {
			closed = min(closed, n.bound)
		} else {
			open = s.split(open, n, stop, trips)
		}
		least := closed
		if len(open) > 0 {
			least = min(least, open[0].bound)
		}
		s.bound = max(s.bound, min(least, s.best.Total()))
	}
}

// explore bounds a node, tries for a plan in it, and returns the stop whose
// trips in the mix are farthest from whole ones, -1 when all are whole.
func (s *season) explore(x *mixer, n *node) (stop int, trips float64) {
	for stop := range n.low {
		x.limitTrips(stop, n.low[stop], n.high[stop])
	}
	x.build()
	x.seeker.prices.copyFrom(n.prices)
	x.solve(4000)
	x.generate(6, 1e-4)
	n.bound = max(n.bound, s.lower(x, 120))
	n.prices = newPrices(s.m)
	n.prices.copyFrom(x.seeker.prices)
	stop, trips = x.splitAt()
	if n.bound < s.best.Total() {
		s.adopt(x.copy(s).within(n))
	}
	return stop, trips
}

// within limits a mixer's trips to those of a node.
func (x *mixer) within(n *node) *mixer {
	for stop := range n.low {
		x.limitTrips(stop, n.low[stop], n.high[stop])
	}
	x.build()
	x.solve(4000)
	return x
}

// splitAt is the stop where a trip more or less would matter most.
func (x *mixer) splitAt() (stop int, trips float64) {
	stop, most := -1, 1e-3
	for s, c := range x.trips {
		if c < 0 {
			continue
		}
		v := x.tripsAt(s)
		if off := x.seeker.m.TripCost[s] * min(v-math.Floor(v), math.Ceil(v)-v); off > most {
			stop, trips, most = s, v, off
		}
	}
	return stop, trips
}

// split puts the two halves of a node among the open ones.
func (s *season) split(open []*node, n *node, stop int, trips float64) []*node {
	for _, up := range []bool{false, true} {
		half := &node{slices.Clone(n.low), slices.Clone(n.high), n.bound, n.prices}
		if up {
			half.low[stop] = math.Ceil(trips)
		} else {
			half.high[stop] = math.Floor(trips)
		}
		at, _ := slices.BinarySearchFunc(open, half.bound, func(m *node, bound float64) int {
			if m.bound <= bound {
				return -1
			}
			return 1
		})
		open = slices.Insert(open, at, half)
	}
	return open
}
