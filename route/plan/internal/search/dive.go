package search

import (
	"math"
	"sort"
)

// dive settles first how many trips, then need after need which packs, making
// new schedules for the others in between; what is then eaten and stowed of
// them the mix itself decides. The schedules go to plan and into the load,
// unless the context ends: false.
func (x *mixer) dive(plan []*Schedule) bool {
	for !x.work.cancelled() && x.settleTripsOnce() {
		x.solve(2000)
		x.refine()
	}
	for open := x.unsettled(); open > 0 && !x.work.cancelled(); {
		for least := x.together(open); least > 0 && open > 0 && !x.work.cancelled(); {
			settled := x.settleLikely()
			open, least = open-settled, least-settled
			x.solve(2000)
		}
		x.refine()
	}
	x.reallocate()
	defer x.lift()
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

// settleTripsOnce fixes the trips at the stops where the mix is nearest to
// whole trips, a third of them at a time.
func (x *mixer) settleTripsOnce() bool {
	type stop struct {
		stop       int
		value, off float64
	}
	var stops []stop
	for s, c := range x.trips {
		if c < 0 {
			continue
		}
		v := x.tripsAt(s)
		whole := math.Round(v)
		if x.rng != nil {
			whole = math.Floor(v + 0.25 + 0.5*x.rng.Float64())
		}
		if v > 1e-6 {
			whole = max(1, whole)
		}
		whole = min(max(whole, x.low[s]), x.high[s])
		stops = append(stops, stop{s, whole, math.Abs(v - whole)})
	}
	sort.SliceStable(stops, func(i, j int) bool { return stops[i].off < stops[j].off })
	for k, s := range stops {
		if k > len(stops)/3 && s.off > 1e-6 {
			break
		}
		x.limitTrips(s.stop, s.value, s.value)
	}
	if len(stops) > 0 {
		x.look()
		x.build()
	}
	return len(stops) > 0
}

// settleLikely settles the needs whose packs are all but settled, or else of
// the likeliest few the one that loses least when it must fit into the room
// the mix gives it, and returns how many.
func (x *mixer) settleLikely() int {
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
	count := 0
	for _, k := range order {
		if shares[k] < 0.999 {
			break
		}
		x.fix(k, likely[k])
		count++
	}
	if count == 0 {
		x.settleFitting(order[:min(len(order), 4)])
		count = 1
	}
	return count
}

// settleFitting settles one of a few needs on whole packs that fit.
func (x *mixer) settleFitting(few []int) {
	load := x.seeker.load
	mixes := make([]*Schedule, len(x.needs))
	for k, i := range x.needs {
		mixes[k] = x.blended(k)
		x.recount(x.seeker.m.Needs[i], mixes[k])
		load.add(x.seeker.m.Needs[i], mixes[k], 1)
	}
	fits := make([]fitted, len(few))
	x.each(len(few), func(t *seeker, at int) {
		k := few[at]
		t.load.add(t.m.Needs[x.needs[k]], mixes[k], -1)
		fits[at] = x.fitting(t, k)
	})
	for k, i := range x.needs {
		load.add(x.seeker.m.Needs[i], mixes[k], -1)
	}
	best := 0
	for at := range fits {
		if fits[at].loss < fits[best].loss {
			best = at
		}
	}
	chosen := few[best]
	x.add(chosen, fits[best].schedule, x.columnCost(x.needs[chosen], fits[best].schedule))
	x.fix(chosen, fits[best].schedule)
}

// fitted is a schedule of whole packs in the room there is, and what it costs
// more than the need's mix.
type fitted struct {
	schedule *Schedule
	loss     float64
}

// fitting is the best of those found.
func (x *mixer) fitting(t *seeker, k int) fitted {
	i := x.needs[k]
	var best *Schedule
	value, mix := math.Inf(1), 0.0
	polish := t.polish
	if x.rough {
		polish = t.touchUp
	}
	for _, c := range x.pool[k] {
		share := x.lp.Value(c.column)
		if share <= 1e-9 {
			continue
		}
		mix += share * c.cost
		s := c.schedule.clone()
		if s, v := polish(i, s, t.value(i, s)); v < value {
			best, value = s, v
		}
	}
	if best == nil {
		best, value = t.fresh(i)
	}
	return fitted{best, value - mix}
}

func (x *mixer) fix(k int, s *Schedule) {
	if s == nil {
		s = newSchedule(x.seeker.m, x.seeker.m.Needs[x.needs[k]])
		x.value(x.needs[k], s)
		x.add(k, s, x.columnCost(x.needs[k], s))
	}
	x.fixed[k] = true
	x.master.settle(k, s)
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
