package search

import (
	"context"
	"math"
)

// Held is a plan kept as it is while one need at a time asks what it would
// better do.
type Held struct {
	m    *Model
	load *Load
	plan []*Schedule
}

// Hold counts the room and the trips of a plan, whose schedules need nothing
// but packs and flows.
func Hold(m *Model, plan []*Schedule) *Held {
	h := &Held{m: m, load: newLoad(m), plan: plan}
	counter := newAllocator(m, h.load, newPrices(m), nil)
	for i, s := range plan {
		counter.recount(m.Needs[i], s)
		h.load.add(m.Needs[i], s, 1)
	}
	return h
}

// Result is the plan as it is.
func (h *Held) Result() Result { return Result{Schedules: h.plan, Trips: h.load.tripsCost()} }

// Free is the room left per room and departure.
func (h *Held) Free() [][]float64 { return h.load.free }

// aloneWork is the most a question may try, in schedules allocated.
const aloneWork = 20_000

func (h *Held) seeker(ctx context.Context, need int) *seeker {
	return &seeker{allocator: newAllocator(h.m, h.load, newPrices(h.m), []int{need}), marginal: true,
		work: &Work{aloneWork, ctx}, depth: 4}
}

// Better gives a need the best schedule found while all others stay, and says
// whether that is cheaper.
func (h *Held) Better(ctx context.Context, need int) bool {
	n, old := h.m.Needs[need], h.plan[need]
	h.load.add(n, old, -1)
	defer func() { h.load.add(n, h.plan[need], 1) }()
	before := old.Own() + h.load.more(old)
	k := h.seeker(ctx, need)
	schedule, value := k.best(need, old, before)
	if value >= before-1e-7*(1+before) {
		return false
	}
	h.plan[need] = schedule
	return true
}

// best starts from the schedule at hand and from nothing.
func (k *seeker) best(need int, old *Schedule, value float64) (*Schedule, float64) {
	schedule, value := k.polish(need, old.clone(), value)
	again, v := k.fresh(need)
	if again, v = k.polish(need, again, v); v < value {
		schedule, value = again, v
	}
	return k.topUp(need, schedule, value)
}

// mostCounts is about the most counts that are tried.
const mostCounts = 40

// Counts is, for counts of packs of an offer up to a most, what the need and
// the trips for it cost at least without the price of those packs, as far as
// was found, while all others stay. Where there are many counts some are left
// out and +Inf, but none next to the plan's own.
func (h *Held) Counts(ctx context.Context, need, offer, most int) []float64 {
	n, old := h.m.Needs[need], h.plan[need]
	h.load.add(n, old, -1)
	defer h.load.add(n, old, 1)
	k := h.seeker(ctx, need)
	k.depth = 2
	least, now := n.Offers[offer].Min, old.Packs[offer]
	most = max(most, now)
	counts := make([]float64, most+1)
	for x := range counts {
		counts[x] = math.Inf(1)
	}
	stride := 1 + (most-least)/mostCounts
	tried := func(x int) bool {
		return x == least || x == most || x%stride == 0 || x >= now-1 && x <= now+1
	}
	for schedule, x := old, now; x <= most; x++ {
		if tried(x) {
			schedule, counts[x] = k.exactly(need, offer, x, schedule, x == now || x == most)
		}
	}
	for schedule, x := old, now; x >= least; x-- {
		if tried(x) {
			s, v := k.exactly(need, offer, x, schedule, x == least)
			schedule, counts[x] = s, min(counts[x], v)
		}
	}
	return counts
}

// exactly is the best schedule found with exactly so many packs of an offer,
// and its cost without them; anew says to start from nothing too.
func (k *seeker) exactly(need, offer, packs int, from *Schedule, anew bool) (*Schedule, float64) {
	n := k.m.Needs[need]
	o := n.Offers[offer]
	defer func() { n.Offers[offer] = o }()
	n.Offers[offer].Min, n.Offers[offer].Limit = packs, packs
	s := from.clone()
	s.Packs[offer] = packs
	s, v := k.polish(need, s, k.value(need, s))
	if anew {
		again, w := k.fresh(need)
		if again, w = k.polish(need, again, w); w < v {
			s, v = again, w
		}
	}
	s, v = k.topUp(need, s, v)
	return s, v - float64(packs)*o.Price
}
