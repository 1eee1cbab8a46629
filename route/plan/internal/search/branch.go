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

// splitting is all plans, split so far.
type splitting struct {
	root   *mixer
	open   []*node // the lowest bound first
	closed float64 // lowest bound of what cannot be split further
	count  int     // nodes explored
}

// splitting begins with all plans in one node.
func (s *season) splitting(root *mixer) *splitting {
	low, high := make([]float64, s.m.Stops), make([]float64, s.m.Stops)
	for stop := range high {
		high[stop] = math.Inf(1)
	}
	all := &node{low: low, high: high, packs: map[place]between{}, bound: s.bound, prices: root.seeker.prices}
	return &splitting{root: root, open: []*node{all}, closed: math.Inf(1)}
}

// branch splits all plans by how many trips are made at a stop or how many
// packs are bought of an offer, the part with the lowest bound first, until
// the bound meets the best plan or the work set aside is spent. Trips and
// packs come in wholes, which the mix at the root ignores.
func (s *season) branch(b *splitting, work int) {
	until := s.work.Left - work
	for ; len(b.open) > 0 && b.open[0].bound < b.closed && s.work.Left > until && !s.over() && !s.proven(); b.count++ {
		n := b.open[0]
		b.open = b.open[1:]
		if cut, ok := s.explore(b.root, n, b.count); ok {
			b.open = cut.split(b.open, n)
		} else {
			b.closed = min(b.closed, n.bound)
		}
		least := b.closed
		if len(b.open) > 0 {
			least = min(least, b.open[0].bound)
		}
		s.bound = max(s.bound, min(least, s.best.Total()))
	}
}

// alternate splits and improves in turn, each for as much work at a time: better
// plans leave less to split.
func (s *season) alternate() {
	const work, longer = 10_000, 1.2
	b := s.splitting(s.root)
	for turn := work; !s.over() && !s.proven(); turn = int(longer * float64(turn)) {
		s.spend(turn, s.improve)
		s.branch(b, turn)
	}
}

// closely is the work per need for raising a node's proof.
const closely = 300

// Prices of a node are looked for so often at most, and no more where it is to be
// split and its bound comes so near to its mix.
const (
	mostPriced = 20
	wellPriced = 0.99
)

// explore bounds a node, tries for a plan in it now and then, and returns
// where to split it, unless it is settled.
func (s *season) explore(root *mixer, n *node, count int) (cut, bool) {
	x := s.inside(root, n)
	x.solve(4000)
	x.generate(6, 1e-4)
	s.price(x, n)
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

// price looks for the prices at which a node's bound is highest: needs are proven
// at those of its mix, and what is found on the way goes into the mix, until both
// meet, or roughly where the node is to be split in any case.
func (s *season) price(x *inner, n *node) {
	for round := range mostPriced {
		f := x.season.proof(x.mixer, 120)
		f.raise(x.mixer, closely*len(s.m.Needs), true)
		n.bound = max(n.bound, f.bound())
		if n.bound >= min(s.best.Total()*(1-1e-7), x.lp.Cost()*(1-1e-6)) || s.over() {
			return
		}
		x.solve(4000)
		x.reprice()
		if _, ok := x.cut(); ok && round > 0 && n.bound > wellPriced*x.lp.Cost() {
			return
		}
	}
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
