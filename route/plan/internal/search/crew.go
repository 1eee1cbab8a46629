package search

import (
	"runtime"
	"sync"
	"sync/atomic"
)

// crew does pieces of work that do not depend on each other on several
// processors at once. A piece comes out the same whichever hand does it and
// whatever that hand did before, so that a result does not depend on how many
// hands there are.
type crew []*hand

// hand is what one worker needs for itself: walks with a slate of their own,
// and scratch.
type hand struct {
	slate   *slate
	chains  []*chain // per need, nil where it has none
	marches []*march
	fares   *Prices
	charges charges
}

// hands is how many workers there are when so many are asked for.
func hands(workers int) int {
	if workers <= 0 {
		return runtime.GOMAXPROCS(0)
	}
	return workers
}

// newCrew makes a crew for the needs of a model.
func newCrew(m *Model, workers int) crew {
	first := &hand{slate: &slate{}}
	for _, n := range m.Needs {
		first.chains = append(first.chains, newChain(m, n, first.slate))
		first.marches = append(first.marches, newMarch(m, n, first.slate))
	}
	c := crew{first}
	for len(c) < hands(workers) {
		c = append(c, first.like(first.slate.fresh()))
	}
	return c
}

// like is a hand for the same needs on a slate as large.
func (h *hand) like(t *slate) *hand {
	other := &hand{slate: t}
	for i := range h.chains {
		other.chains = append(other.chains, h.chains[i].on(t))
		other.marches = append(other.marches, h.marches[i].on(t))
	}
	return other
}

// with is the crew for a model in which some needs differ.
func (c crew) with(m *Model, changed map[int]bool) crew {
	first := c[0].like(c[0].slate)
	for i := range changed {
		first.chains[i] = newChain(m, m.Needs[i], first.slate)
		first.marches[i] = newMarch(m, m.Needs[i], first.slate)
	}
	other := crew{first}
	for _, h := range c[1:] {
		h.slate.match(first.slate)
		other = append(other, first.like(h.slate))
	}
	return other
}

// each does n pieces.
func (c crew) each(n int, do func(h *hand, k int)) {
	if len(c) == 1 || n < 2 {
		for k := range n {
			do(c[0], k)
		}
		return
	}
	var next atomic.Int64
	var wg sync.WaitGroup
	for _, h := range c[:min(len(c), n)] {
		wg.Go(func() {
			for k := int(next.Add(1)) - 1; k < n; k = int(next.Add(1)) - 1 {
				do(h, k)
			}
		})
	}
	wg.Wait()
}

// each does n pieces, each with a seeker of its own, and then counts the work
// of all of them.
func (k *seeker) each(n int, do func(k *seeker, piece int)) {
	spent := make([]int, n)
	k.crew.each(n, func(h *hand, piece int) {
		t := k.on(h)
		do(t, piece)
		spent[piece] = k.work.Left - t.work.Left
	})
	for _, work := range spent {
		k.work.Left -= work
	}
}

// on is the seeker at the side of others, in a hand.
func (k *seeker) on(h *hand) *seeker {
	t := *k
	t.work = &Work{k.work.Left, k.work.ctx}
	t.crew = crew{h}
	t.chains, t.marches = h.chains, h.marches
	t.allocator = k.allocator.beside(&h.charges)
	if h.fares == nil {
		h.fares = newPrices(k.m)
	}
	t.fares = h.fares
	return &t
}
