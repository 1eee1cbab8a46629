package search

import (
	"cmp"
	"math"
	"slices"
	"sort"
)

// dive settles first how many trips, then need after need which packs, making
// new schedules for the others in between; what is then eaten and stowed of
// them the mix itself decides. The schedules go to plan and into the load,
// unless the context ends or the mix gets too dear: false.
func (x *mixer) dive(plan []*Schedule) bool {
	defer x.lift()
	x.settleTrips()
	for open := x.unsettled(); open > 0 && !x.work.cancelled(); {
		for until := open - x.together(open); open > max(until, 0) && !x.work.cancelled(); {
			x.settleLikely()
			x.solve(2000)
			if x.lp.Cost() > x.most {
				return false
			}
			open = x.unsettled()
		}
		x.refine()
		if open <= x.fine {
			x.rough = false
		}
	}
	x.reallocate()
	if x.work.cancelled() {
		return false
	}
	for k, i := range x.needs {
		s := x.blended(k)
		x.recount(x.seeker.m.Needs[i], s)
		if !x.seeker.load.fits(x.seeker.m.Needs[i], s) { // by a hair, from rounding
			x.trim(i, s)
		}
		plan[i] = s
		x.seeker.load.add(x.seeker.m.Needs[i], s, 1)
	}
	return true
}

// trim makes a need's schedule fit by taking less of what does not.
func (k *seeker) trim(need int, s *Schedule) {
	n := k.m.Needs[need]
	for i := range s.Flows {
		f := &s.Flows[i]
		if f.Way < 0 {
			continue
		}
		source := &n.Sources[f.Source]
		f.Amount = k.load.most(source, source.Ways[f.Way], f.To, f.Amount)
		k.load.take(n, *f, f.Amount)
	}
	for _, f := range s.Flows {
		if f.Way >= 0 {
			k.load.take(n, f, -f.Amount)
		}
	}
	k.recount(n, s)
}

// together is how many needs of those open are settled before new schedules
// are made: roughly, several.
func (x *mixer) together(open int) int {
	if x.rough {
		return max(1, open/roughly)
	}
	return 1
}

const roughly = 6

// refine makes new schedules at the prices of what is settled.
func (x *mixer) refine() { x.generate(1, 0) }

// lift lets trips carry without limit again.
func (x *mixer) lift() {
	for stop := range x.seeker.load.lift {
		x.seeker.load.lift[stop] = math.Inf(1)
	}
}

// settleLikely settles the needs whose packs are all but settled, or else one
// of the likeliest few, or where the hard ones come first at last one of the
// least likely.
func (x *mixer) settleLikely() {
	var order []int
	shares := make([]float64, len(x.needs))
	likely := make([]*Schedule, len(x.needs))
	for k := range x.needs {
		if !x.fixed[k] {
			likely[k], shares[k] = x.likely(k)
			order = append(order, k)
		}
	}
	sort.SliceStable(order, func(i, j int) bool { return shares[order[i]] > shares[order[j]] })
	sure := len(x.sure)
	for _, k := range order {
		if shares[k] < 0.999 {
			break
		}
		x.fix(k, likely[k])
		x.sure = append(x.sure, k)
	}
	if len(x.sure) > sure {
		return
	}
	if x.hard && !x.rough {
		slices.Reverse(order)
		if x.dice != nil {
			few := order[:min(len(order), 2*mostTaken)]
			x.dice.Shuffle(len(few), func(i, j int) { few[i], few[j] = few[j], few[i] })
		}
	}
	x.settleTried(order[:min(len(order), mostTaken)])
}

// mostPolished is how many schedules of a mix are looked at more closely for
// where else to buy: with many stops that takes the cube of their number.
const mostPolished = 2

// fitting is the best schedule of whole packs found near those in the mix for
// the room that this leaves.
func (x *mixer) fitting(t *seeker, k int) *Schedule {
	type fit struct {
		schedule *Schedule
		value    float64
	}
	i := x.needs[k]
	var fits []fit
	for _, c := range x.pool[k] {
		if x.lp.Value(c.column) > 1e-9 {
			s := c.schedule.clone()
			s, v := t.touchUp(i, s, t.value(i, s))
			fits = append(fits, fit{s, v})
		}
	}
	if len(fits) == 0 {
		s, _ := t.fresh(i)
		return s
	}
	slices.SortStableFunc(fits, func(a, b fit) int { return cmp.Compare(a.value, b.value) })
	best := fits[0]
	if !x.rough {
		for _, f := range fits[:min(len(fits), mostPolished)] {
			if s, v := t.polish(i, f.schedule, f.value); v < best.value {
				best = fit{s, v}
			}
		}
	}
	return best.schedule
}

func (x *mixer) fix(k int, s *Schedule) {
	x.fixed[k] = true
	x.settle(k, s)
}

// release lets go of the needs that were settled since the mix had all but settled
// them.
func (x *mixer) release() {
	for _, k := range x.sure {
		x.fixed[k] = false
		x.unsettle(k)
	}
	x.sure = x.sure[:0]
	x.solve(2000)
}

// unsettled counts the needs without packs settled on.
func (x *mixer) unsettled() int {
	open := 0
	for _, fixed := range x.fixed {
		if !fixed {
			open++
		}
	}
	return open
}
