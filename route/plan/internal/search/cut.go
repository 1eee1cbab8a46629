package search

import (
	"math"
	"slices"
)

// cut splits a node at a stop's trips, or at an offer's packs when stop is
// below 0: at most this many, or more.
type cut struct {
	stop    int
	place   place
	most    int
	offered Offer
}

// cut is where a trip or a pack more or less would matter most.
func (x *inner) cut() (cut, bool) {
	best, most := cut{stop: -1, place: place{-1, -1}}, 1e-3
	for s := range x.options {
		v := x.tripsAt(s)
		if off := x.seeker.m.TripCost[s] * min(v-math.Floor(v), math.Ceil(v)-v); off > most {
			best, most = cut{stop: s, most: int(math.Floor(v))}, off
		}
	}
	if len(x.needs) <= mostBranched {
		for k := range x.needs {
			if c, off := x.cutNeed(k); off > most {
				best, most = c, off
			}
		}
	}
	return best, best.stop >= 0 || best.place.need >= 0
}

// cutNeed is the offer of the k-th need of which the schedules in the mix
// differ most, and by how much money.
func (x *inner) cutNeed(k int) (best cut, most float64) {
	i := x.needs[k]
	best = cut{stop: -1}
	for o, offer := range x.seeker.m.Needs[i].Offers {
		mean, share := 0.0, 0.0
		for _, c := range x.pool[k] {
			v := x.lp.Value(c.column)
			mean += v * float64(c.schedule.Packs[o])
			share += v
		}
		if share < 1e-6 {
			continue
		}
		mean /= share
		off := 0.0
		for _, c := range x.pool[k] {
			off += x.lp.Value(c.column) / share * math.Abs(float64(c.schedule.Packs[o])-mean)
		}
		if off *= offer.Price / 2; off > most {
			best.place, best.most, best.offered, most = place{i, o}, int(math.Floor(mean+1e-9)), offer, off
		}
	}
	return best, most
}

// split puts the two halves of a node among the open ones.
func (c cut) split(open []*node, n *node) []*node {
	for _, up := range []bool{false, true} {
		half := &node{slices.Clone(n.low), slices.Clone(n.high), map[place]between{}, n.bound, n.prices}
		for p, b := range n.packs {
			half.packs[p] = b
		}
		switch {
		case c.stop >= 0 && up:
			half.low[c.stop] = float64(c.most + 1)
		case c.stop >= 0:
			half.high[c.stop] = float64(c.most)
		default:
			half.packs[c.place] = c.within(n, up)
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

// within is what is left of an offer's packs in a half.
func (c cut) within(n *node, up bool) between {
	b, ok := n.packs[c.place]
	if !ok {
		b = between{c.offered.Min, c.offered.Limit}
	}
	if up {
		b.least = c.most + 1
	} else {
		b.most = c.most
	}
	return b
}
