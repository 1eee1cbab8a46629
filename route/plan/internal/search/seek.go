package search

import (
	"context"
	"math"
)

// seeker finds a good schedule for one need while all others stay.
type seeker struct {
	*allocator
	marginal bool // trips at what they add, else at Prices.Open
	work     *Work
	depth    int  // rounds of polishing
	crew     crew // nil where it works alone
	chains   []*chain
	marches  []*march
	fares    *Prices // those of now, what trips add put in
}

// Work is a budget counted in schedules allocated. It is also spent when the
// context ends.
type Work struct {
	Left int
	ctx  context.Context
}

func (w *Work) over() bool { return w.Left <= 0 || w.cancelled() }

func (w *Work) cancelled() bool { return w.ctx.Err() != nil }

// value allocates and returns the whole cost, prices and trips included.
func (k *seeker) value(need int, s *Schedule) float64 {
	return k.valueWithin(need, s, math.Inf(1))
}

// valueWithin is value, but +Inf, s being left half done, once it is sure that
// the cost is above a limit.
func (k *seeker) valueWithin(need int, s *Schedule, most float64) float64 {
	k.work.Left--
	cost := k.within(need, s, rival{most, k.fees(need)})
	if k.marginal {
		return cost + k.load.more(s)
	}
	for stop, away := range s.Away {
		if away {
			cost += k.prices.Open[need][stop]
		}
	}
	return cost
}

// fees is what carrying anything away costs at least, per stop.
func (k *seeker) fees(need int) []float64 {
	if !k.marginal {
		return k.prices.Open[need]
	}
	for stop, away := range k.load.away {
		if k.trips[stop] = 0; away == 0 {
			k.trips[stop] = k.m.TripCost[stop]
		}
	}
	return k.trips
}

// attempt is a walk from schedule to better schedule.
type attempt struct {
	*seeker
	need      int
	best, try *Schedule
	value     float64

	least       []float64 // per segment: the cheapest a unit could cost
	regret      []float64 // per source: how much dearer a unit is at least
	dear, waste []float64 // per source: how much dearer what is eaten is; not eaten
	bought      []int     // packs per source
	supplied    []float64 // per source
	likely      []int     // offers to buy more of
	spare       float64   // amount wasted
}

// worth is what a change must gain, as a part of the cost.
const worth = 1e-7

// consider values what is in try and keeps it when it is better.
func (t *attempt) consider() bool {
	v := t.valueWithin(t.need, t.try, (t.value-worth)/(1+worth))
	if v < t.value-worth*(1+v) {
		t.value = v
		t.best, t.try = t.try, t.best
		if t.least != nil {
			t.look()
		}
		return true
	}
	return false
}

func (t *attempt) reset() {
	copy(t.try.Packs, t.best.Packs)
	t.try.Mode = t.best.Mode
	copy(t.try.Stay, t.best.Stay)
}

// fresh builds a schedule from nothing: the cheapest sources, then without
// those that do not earn their line and trip.
func (k *seeker) fresh(need int) (*Schedule, float64) {
	n := k.m.Needs[need]
	t := &attempt{seeker: k, need: need, best: newSchedule(k.m, n), try: newSchedule(k.m, n)}
	t.value = k.value(need, t.best)
	f := newFiller(k.allocator, need)
	open := make([]bool, len(n.Sources))
	for i := range open {
		open[i] = true
	}
	t.propose(f, open)
	for again := true; again && !k.work.cancelled(); {
		again = false
		for i := range open {
			if !open[i] || f.unused(t.best, i) {
				continue
			}
			open[i] = false
			if t.propose(f, open) {
				again = true
			} else {
				open[i] = true
			}
		}
	}
	return t.best, t.value
}

func (f *filler) unused(s *Schedule, source int) bool {
	for _, o := range f.a.m.Needs[f.need].Sources[source].Offers {
		if s.Packs[o] > 0 {
			return false
		}
	}
	return true
}

func (t *attempt) propose(f *filler, open []bool) bool {
	better := false
	for _, carry := range [2]float64{1, 0} {
		t.try.Mode = t.best.Mode
		copy(t.try.Stay, t.best.Stay)
		f.propose(open, carry, t.try)
		if t.consider() {
			better = true
		}
	}
	return better
}

// polish walks to a schedule that no small change makes cheaper.
func (k *seeker) polish(need int, s *Schedule, value float64) (*Schedule, float64) {
	return k.better(need, s, value, (*attempt).modes, (*attempt).packsUpAndDown, (*attempt).stays, (*attempt).shift)
}

// touchUp is polish without buying elsewhere, which takes most of its time.
func (k *seeker) touchUp(need int, s *Schedule, value float64) (*Schedule, float64) {
	return k.better(need, s, value, (*attempt).modes, (*attempt).packsUpAndDown, (*attempt).stays)
}

// better goes through kinds of changes until none helps.
func (k *seeker) better(need int, s *Schedule, value float64, kinds ...func(*attempt) bool) (*Schedule, float64) {
	t := &attempt{seeker: k, need: need, best: s, try: newSchedule(k.m, k.m.Needs[need]), value: value}
	t.regrets()
	for again := 0; again < k.depth; again++ {
		better := false
		for _, kind := range kinds {
			better = kind(t) || better
		}
		if !better || k.work.over() {
			break
		}
	}
	return t.best, t.value
}
