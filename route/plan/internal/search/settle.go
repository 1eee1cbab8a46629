package search

import (
	"cmp"
	"math"
	"slices"

	"hardtack/route/plan/internal/simplex"
)

// settle leaves the k-th need only the packs of one schedule. Throwing all of
// them away remains, so that the mix always has a solution.
func (ma *master) settle(k int, s *Schedule) {
	ma.chosen[k] = s
	n := ma.m.Needs[ma.needs[k]]
	ma.lp.Reprice(n.nothing()+n.spent(s.Packs), k)
	for _, c := range ma.pool[k] {
		if !c.schedule.samePacks(s) {
			ma.lp.Rule(c.column, true)
		}
	}
}

// unsettle takes that back.
func (ma *master) unsettle(k int) {
	ma.chosen[k] = nil
	ma.lp.SetCost(k, ma.m.Needs[ma.needs[k]].nothing())
	for _, c := range ma.pool[k] {
		ma.lp.Rule(c.column, false)
	}
}

// trial tries what the mix would cost with something settled, and goes back to
// where it stood.
type trial struct {
	x     *mixer
	stood simplex.State
	least float64
}

func (x *mixer) trial() *trial {
	t := &trial{x: x, least: math.Inf(1)}
	x.lp.Save(&t.stood)
	return t
}

// try says whether what is done costs less than all that was tried before.
func (t *trial) try(do, undo func()) bool {
	do()
	lp := t.x.lp
	_, out := lp.Restore(mostTried, t.least)
	better := false
	if out {
		lp.Solve(mostTried)
		if cost := lp.Cost(); cost < t.least {
			t.least, better = cost, true
		}
	}
	t.x.charge(t.x.work)
	undo()
	lp.Load(&t.stood)
	return better
}

// mostTried is how many pivots a trial takes at most to rule something out, and
// again to mix anew.
const mostTried = 300

// settleTrips settles one number of trips at every stop, where the mix is
// nearest to a whole one first: of the two numbers next to it at a few stops
// the one that costs least is taken.
func (x *mixer) settleTrips() {
	for round := 1; !x.work.cancelled(); round++ {
		few := x.halfTrips()
		if len(few) == 0 {
			return
		}
		t, best := x.trial(), few[0]
		for _, f := range few {
			low, high := x.low[f.stop], x.high[f.stop]
			if t.try(func() { x.allowTrips(f.stop, f.trips, f.trips) }, func() { x.allowTrips(f.stop, low, high) }) {
				best = f
			}
		}
		x.limitTrips(best.stop, best.trips, best.trips)
		x.solve(2000)
		if round%3 == 0 {
			x.refine()
		}
	}
}

// tripsTried is a number of trips at a stop and how far the mix is from it.
type tripsTried struct {
	stop       int
	trips, off float64
}

// halfTrips settles the stops where the mix makes a whole number of trips, and
// lists the numbers next to it at those where it comes nearest to one.
func (x *mixer) halfTrips() []tripsTried {
	const few = 3
	var list []tripsTried
	for stop := range x.options {
		if x.none[stop] < 0 || x.low[stop] == x.high[stop] {
			continue
		}
		trips := x.tripsAt(stop)
		if off := math.Abs(trips - math.Round(trips)); off > 1e-6 {
			list = append(list, tripsTried{stop, trips, off})
			continue
		}
		x.limitTrips(stop, math.Round(trips), math.Round(trips))
	}
	slices.SortStableFunc(list, func(a, b tripsTried) int { return cmp.Compare(a.off, b.off) })
	var tried []tripsTried
	for _, f := range list[:min(len(list), few)] {
		for _, trips := range [2]float64{math.Ceil(f.trips), math.Floor(f.trips)} { // more is the safe choice
			if trips >= x.low[f.stop] && trips <= x.high[f.stop] {
				tried = append(tried, tripsTried{f.stop, trips, math.Abs(trips - f.trips)})
			}
		}
	}
	return tried
}
