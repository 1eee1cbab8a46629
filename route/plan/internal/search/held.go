package search

import "context"

// Held is a plan kept as it is while one need at a time asks what it would
// better do.
type Held struct {
	m    *Model
	load *Load
	plan []*Schedule
}

// give gives a need a schedule, whatever prices its cost was counted at.
func (h *Held) give(need int, s *Schedule) {
	n := h.m.Needs[need]
	newAllocator(h.m, h.load, newPrices(h.m)).recount(n, s)
	h.load.add(n, h.plan[need], -1)
	h.plan[need] = s
	h.load.add(n, s, 1)
}

// Hold counts the room and the trips of a plan, whose schedules need nothing
// but packs and flows.
func Hold(m *Model, plan []*Schedule) *Held {
	h := &Held{m: m, load: newLoad(m), plan: plan}
	counter := newAllocator(m, h.load, newPrices(m))
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

// seeker looks for schedules of some needs, which may march but, the limits of their
// offers changing, not walk as a chain.
func (h *Held) seeker(ctx context.Context, needs ...int) *seeker {
	k := &seeker{allocator: newAllocator(h.m, h.load, newPrices(h.m)), marginal: true,
		work: &Work{aloneWork, ctx}, depth: 4, chains: make([]*chain, len(h.m.Needs)), marches: make([]*march, len(h.m.Needs))}
	shared := &slate{}
	for _, need := range needs {
		k.marches[need] = newMarch(h.m, h.m.Needs[need], shared)
	}
	return k
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

// best starts from the schedule at hand, from a walk, and from nothing.
func (k *seeker) best(need int, old *Schedule, value float64) (*Schedule, float64) {
	schedule, value := old.clone(), value
	for _, start := range [2]func(int) (*Schedule, float64){k.fit, k.fresh} {
		if again, v := start(need); v < value {
			schedule, value = again, v
		}
	}
	schedule, value = k.polish(need, schedule, value)
	return k.topUp(need, schedule, value)
}
