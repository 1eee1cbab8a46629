package search

import (
	"math"
	"slices"
)

// node is a part of all plans: those with so many trips at every stop and so
// many packs of some offers. Its bound holds for all of them.
type node struct {
	low, high []float64
	packs     map[place]between
	bound     float64
	prices    *Prices
}

// place is an offer of a need.
type place struct{ need, offer int }

// between is the fewest and the most packs.
type between struct{ least, most int }

// mostBranched is the most needs at which packs are branched on: with more of
// them there would be no end to it.
const mostBranched = 25

// branch splits all plans by how many trips are made at a stop or how many
// packs are bought of an offer, the part with the lowest bound first, until
// the bound meets the best plan or the work set aside is spent. Trips and
// packs come in wholes, which the mix at the root ignores.
func (s *season) branch(root *mixer, work int) {
	until := s.work.Left - work
	low, high := make([]float64, s.m.Stops), make([]float64, s.m.Stops)
	for stop := range high {
		high[stop] = math.Inf(1)
	}
	open := []*node{{low: low, high: high, packs: map[place]between{}, bound: s.bound, prices: root.seeker.prices}}
	closed := math.Inf(1) // lowest bound of what cannot be split further
	for count := 0; len(open) > 0 && s.work.Left > until && !s.over() && s.gap() > 1e-6; count++ {
		n := open[0]
		open = open[1:]
		if n.bound >= closed {
			break
		}
		if cut, ok := s.explore(root, n, count); ok {
			open = cut.split(open, n)
		} else {
			closed = min(closed, n.bound)
		}
		least := closed
		if len(open) > 0 {
			least = min(least, open[0].bound)
		}
		s.bound = max(s.bound, min(least, s.best.Total()))
	}
}

// closely is the work per need for raising a node's proof.
const closely = 300

// explore bounds a node, tries for a plan in it now and then, and returns
// where to split it, unless it is settled.
func (s *season) explore(root *mixer, n *node, count int) (cut, bool) {
	x := s.inside(root, n)
	x.solve(4000)
	x.generate(6, 1e-4)
	f := x.season.proof(x.mixer, 120)
	f.raise(x.mixer, closely*len(s.m.Needs), false)
	n.bound = max(n.bound, f.bound())
	if len(s.m.Needs) <= mostBranched && n.bound < s.best.Total() {
		n.bound = max(n.bound, x.season.raise(x.mixer, n.bound, 12))
	}
	n.prices = newPrices(s.m)
	n.prices.copyFrom(x.seeker.prices)
	x.share(root)
	if n.bound >= s.best.Total()*(1-1e-7) {
		return cut{}, false
	}
	cut, ok := x.cut()
	if count < 8 || count%8 == 0 || !ok {
		plan := make([]*Schedule, len(s.m.Needs))
		if x.dive(plan) && total(x.seeker.load, plan) < s.best.Total() {
			s.take(plan)
		}
	}
	return cut, ok
}

// take makes a plan the one at hand.
func (s *season) take(plan []*Schedule) {
	for i, n := range s.m.Needs {
		s.load.add(n, s.plan[i], -1)
		s.load.add(n, plan[i], 1)
	}
	s.plan = plan
	s.tell()
}

// inner is the mixer of a node, with the season that a node's packs make.
type inner struct {
	*mixer
	season *season
	known  []int // per need: columns that came from the root
}

// inside makes a mixer of the root's schedules that are in a node.
func (s *season) inside(root *mixer, n *node) *inner {
	sub := s.under(n)
	prices := newPrices(s.m)
	prices.copyFrom(n.prices)
	x := &inner{mixer: sub.mixer(root.needs, newLoad(sub.m), prices), season: sub}
	for k, i := range root.needs {
		for _, c := range root.pool[k] {
			if n.has(i, c.schedule) {
				x.pool[k] = append(x.pool[k], c)
			}
		}
		x.known = append(x.known, len(x.pool[k]))
	}
	copy(x.tied, root.tied)
	x.build()
	for stop := range n.low {
		x.limitTrips(stop, n.low[stop], n.high[stop])
	}
	return x
}

// has says whether a need's schedule is in a node.
func (n *node) has(need int, s *Schedule) bool {
	for p, b := range n.packs {
		if p.need == need && (s.Packs[p.offer] < b.least || s.Packs[p.offer] > b.most) {
			return false
		}
	}
	return true
}

// under is the season with a node's packs as limits.
func (s *season) under(n *node) *season {
	if len(n.packs) == 0 {
		return s
	}
	m := *s.m
	m.Needs = slices.Clone(m.Needs)
	changed := map[int]bool{}
	for p, b := range n.packs {
		if !changed[p.need] {
			changed[p.need] = true
			need := *m.Needs[p.need]
			need.Offers = slices.Clone(need.Offers)
			m.Needs[p.need] = &need
		}
		o := &m.Needs[p.need].Offers[p.offer]
		o.Min, o.Limit = b.least, b.most
	}
	sub := &season{m: &m, o: s.o, rng: s.rng, load: newLoad(&m), prices: newPrices(&m), free: s.free, work: s.work,
		best: s.best, bound: math.Inf(-1), all: s.all, worth: make([][]float64, len(m.Needs)), crew: s.crew.with(&m, changed)}
	for i := range m.Needs {
		sub.worth[i] = s.worth[i]
	}
	return sub
}

// mostShared is how many schedules of a need the root keeps.
const mostShared = 150

// share gives the root the new schedules that the node's mix uses.
func (x *inner) share(root *mixer) {
	for k := range x.pool {
		for _, c := range x.pool[k][x.known[k]:] {
			if x.lp.Value(c.column) > 1e-6 {
				c.used = true
				root.pool[k] = append(root.pool[k], c)
			}
		}
		if over := len(root.pool[k]) - mostShared; over > 0 {
			root.pool[k] = slices.Delete(root.pool[k], 0, over)
		}
	}
}
