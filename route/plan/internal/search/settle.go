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
	ma.settleIn(ma.lp, k, s)
}

// settleIn does so in an LP that stands for the mix.
func (ma *master) settleIn(lp *simplex.LP, k int, s *Schedule) {
	n := ma.m.Needs[ma.needs[k]]
	lp.Reprice(n.nothing()+n.spent(s.Packs), k)
	for _, c := range ma.pool[k] {
		lp.Rule(c.column, lp.RuledOut(c.column) || !c.schedule.samePacks(s))
	}
}

// unsettle lets the k-th need have any packs again.
func (ma *master) unsettle(k int) {
	ma.chosen[k] = nil
	ma.lp.Reprice(ma.m.Needs[ma.needs[k]].nothing(), k)
	for _, c := range ma.pool[k] {
		ma.lp.Rule(c.column, false)
	}
}

// settleTrips settles one number of trips at every stop, where the mix is
// nearest to a whole one first: of the two numbers next to it at a few stops
// the one that costs least is taken.
func (x *mixer) settleTrips() {
	for round := 1; !x.work.cancelled(); round++ {
		few := x.halfTrips()
		if len(few) == 0 {
			return
		}
		costs, least := make([]float64, len(few)), math.Inf(1)
		for from := 0; from < len(few); from += atOnce {
			some, below := few[from:min(from+atOnce, len(few))], least
			x.each(len(some), func(t *seeker, at int) {
				f := some[at]
				costs[from+at] = x.try(t.work, below, func(lp *simplex.LP) { x.allowTripsIn(lp, f.stop, f.trips, f.trips) })
			})
			least = slices.Min(costs[:from+len(some)])
		}
		best := few[cheapest(costs)]
		x.limitTrips(best.stop, best.trips, best.trips)
		x.solve(2000)
		if round%max(3, len(x.options)/5) == 0 { // with many stops that takes long
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
