package search

import (
	"math"
	"slices"

	"hardtack/route/plan/internal/simplex"
)

// mending walks to better packs of a need's schedule at prices: those of one source
// or of two at a time are changed and all is shared out anew by a linear program
// that goes on from where it stood. What a move can gain at most the worths of use
// say at which the packs are shared out now; what is likely to gain, those at which
// the need is known to cost most at least.
type mending struct {
	m         *Model
	need      int
	n         *Need
	prices    *Prices
	near, far *hull // at the one worths and the other
	bound     float64
	sharing   *sharing
	packs     []int  // per offer
	carried   []bool // per source
	value     float64
	stood     simplex.State
	changes   []change
	moves     []move // what to try, from next on
	next      int
	pairs     bool // two changes at a time, since one no longer helps
	vain      map[string]bool
	effort    int // work done
}

// change is what one source may do instead of what it does, with what that gains
// at the worths.
type change struct {
	source    int
	packs     []int // per offer of the source
	carried   bool
	near, far float64
}

// move is one change, or two of different sources.
type move struct {
	first, second *change // no second one: nil
	near, far     float64
}

const (
	mostChanges = 200  // looked at of a schedule
	leastMended = 1e-6 // of a cost: what a move must gain
	worthMend   = 1e-3 // of a cost: what it must be above what is proven to be mended
	mostMending = 2000 // pivots of the first program
)

// newMending starts from a schedule; the worths are those of a hull, nil where none
// are known. There is the room that a load leaves, or no end of it.
func newMending(m *Model, p *Prices, room *Load, need int, s *Schedule, worth []float64) *mending {
	n := m.Needs[need]
	t := &mending{m: m, need: need, n: n, prices: p, near: newHull(m, p, need), far: newHull(m, p, need),
		sharing: newSharing(m, n, p, room, s.Packs, true), packs: slices.Clone(s.Packs), carried: s.carried(n), vain: map[string]bool{}}
	t.far.start(worth)
	t.bound = t.far.evaluate()
	t.sharing.open(t.packs, t.carried)
	t.effort = t.sharing.solve(mostMending)
	t.value = t.sharing.lp.Cost() + t.fixed()
	t.list()
	return t
}

// run tries moves for so much work.
func (t *mending) run(work int) {
	for until := t.effort + work; t.effort < until && !t.ended(); {
		if t.next == len(t.moves) {
			t.pairs = true
			t.list()
			continue
		}
		m := t.moves[t.next]
		t.next++
		if key := m.key(); !t.vain[key] {
			t.vain[key] = true
			if t.try(m) {
				t.list()
			}
		}
	}
}

// ended says whether nothing is left to try, or to gain.
func (t *mending) ended() bool {
	return t.pairs && t.next == len(t.moves) || t.value-t.bound <= worthMend*t.value
}

// schedule is what was come to.
func (t *mending) schedule(k *seeker) *Schedule {
	s := newSchedule(t.m, t.n)
	copy(s.Packs, t.packs)
	t.sharing.read(s)
	k.recount(t.n, s)
	return s
}

// fixed is what packs, lines and trips cost.
func (t *mending) fixed() float64 {
	cost := 0.0
	for o, packs := range t.packs {
		cost += float64(packs) * t.n.Offers[o].Price
	}
	paid := make([]bool, t.m.Stops)
	for i, carried := range t.carried {
		s := &t.n.Sources[i]
		if !carried || s.Aboard >= 0 {
			continue
		}
		cost += s.Line
		if !paid[s.Stop] {
			paid[s.Stop] = true
			cost += t.prices.Open[t.need][s.Stop]
		}
	}
	return cost
}

// enough is what is not worth looking for.
func (t *mending) enough() float64 { return leastMended * (1 + t.value) }

// try makes a move and takes it back if it gains nothing.
func (t *mending) try(m move) bool {
	packs, carried := slices.Clone(t.packs), slices.Clone(t.carried)
	more := t.change(m, func(c *change) ([]int, bool) { return c.packs, c.carried })
	fixed, most := t.fixed(), math.Inf(1)
	if !more { // else what is let in may make it cheaper again
		most = t.value - t.enough() - fixed
	}
	lp := t.sharing.lp
	before := lp.Touched()
	_, gains := lp.Restore(mostTried, most)
	if gains {
		lp.Solve(mostTried)
		gains = lp.Cost()+fixed < t.value-t.enough()
	}
	t.effort += 1 + (lp.Touched()-before)/perSchedule
	if gains {
		t.value = lp.Cost() + fixed
		return true
	}
	t.change(m, func(c *change) ([]int, bool) {
		var was []int
		for _, o := range t.n.Sources[c.source].Offers {
			was = append(was, packs[o])
		}
		return was, carried[c.source]
	})
	lp.Load(&t.stood)
	return false
}

// change makes sources buy and carry away something else, and says whether any may
// do more than before.
func (t *mending) change(m move, to func(*change) ([]int, bool)) (more bool) {
	for _, c := range [2]*change{m.first, m.second} {
		if c == nil {
			break
		}
		packs, carried := to(c)
		for j, o := range t.n.Sources[c.source].Offers {
			t.packs[o] = packs[j]
		}
		t.carried[c.source] = carried
		supply := t.n.supply(c.source, t.packs)
		t.sharing.lp.Limit(t.sharing.row[c.source], supply)
		more = t.sharing.let(c.source, supply > 0, carried) || more
	}
	return more
}
