package search

import (
	"math"

	"hardtack/route/plan/internal/simplex"
)

// Of a few needs one is settled; so many are tried side by side. What costs
// more than a part of the mix is dear, or too dear.
const (
	mostTaken = 3
	atOnce    = 2
	dear      = 3e-4
	tooDear   = 1e-3
)

// settleTried settles one of a few needs. Where the hard ones come first and that
// is too dear, it is tried once more with all let go that was settled only since
// the mix had all but settled it: settling those cost nothing, but it may be what
// leaves this one no way.
func (x *mixer) settleTried(few []int) {
	best := x.leastDear(few)
	if x.hard && len(x.sure) > 0 && best.cost > x.lp.Cost()*(1+tooDear) {
		x.release()
		best = x.leastDear([]int{best.need})
	}
	x.fix(best.need, best.schedule)
}

// leastDear is one of a few needs with packs by which the mix gets least dearer:
// packs in the mix, or made to fit the room that the mix leaves, or, where those
// are dear, looked for further.
func (x *mixer) leastDear(few []int) tried {
	fits := x.fitted(few)
	best, least := tried{need: few[0], schedule: fits[0]}, math.Inf(1)
	if x.hard {
		least = math.Inf(-1)
	}
	for from := 0; from < len(few); from += atOnce {
		some := few[from:min(from+atOnce, len(few))]
		tries := make([]tried, len(some))
		below, above := least, math.Inf(-1)
		if x.hard {
			below, above = math.Inf(1), least
		}
		x.each(len(some), func(t *seeker, at int) { tries[at] = x.tried(t, some[at], fits[from+at], below, above) })
		for _, r := range tries {
			if !math.IsInf(r.cost, 1) && (r.cost > least) == x.hard {
				best, least = r, r.cost
			}
		}
	}
	switch best.cost = least; {
	case math.IsInf(least, 0):
		best.cost = math.Inf(1)
	case x.parts > 0 && least > x.lp.Cost()*(1+dear):
		if best = x.mendDear(best); best.cost > x.lp.Cost()*(1+dear) {
			best = x.narrow(best)
		}
	}
	return best
}

// fitted mixes in, for each of a few needs, a schedule that fits the room which
// the mix leaves.
func (x *mixer) fitted(few []int) []*Schedule {
	mixes := x.occupy()
	fits := make([]*Schedule, len(few))
	x.each(len(few), func(t *seeker, at int) {
		k := few[at]
		t.load.add(t.m.Needs[x.needs[k]], mixes[k], -1)
		fits[at] = x.fitting(t, k)
	})
	x.vacate(mixes)
	for at, k := range few {
		x.add(k, fits[at])
	}
	x.gain(mostTried, x.work) // a try begins where nothing gains
	return fits
}

// occupy puts what the mix makes of every need into the load.
func (x *mixer) occupy() []*Schedule {
	mixes := make([]*Schedule, len(x.needs))
	for k, i := range x.needs {
		mixes[k] = x.blended(k)
		x.recount(x.seeker.m.Needs[i], mixes[k])
		x.seeker.load.add(x.seeker.m.Needs[i], mixes[k], 1)
	}
	return mixes
}

// vacate takes it out again.
func (x *mixer) vacate(mixes []*Schedule) {
	for k, i := range x.needs {
		x.seeker.load.add(x.seeker.m.Needs[i], mixes[k], -1)
	}
}

// tried is a schedule of a need and what the mix costs with its packs settled.
type tried struct {
	need     int
	schedule *Schedule
	cost     float64
}

// tried tries the packs in a need's mix and those of a schedule that fits.
// Only costs below a limit matter, and once one is no more than another limit
// no others.
func (x *mixer) tried(t *seeker, k int, fits *Schedule, below, above float64) tried {
	best := tried{k, fits, math.Inf(1)}
	for _, s := range append([]*Schedule{fits}, x.inMix(k)...) {
		if cost := x.try(t.work, below, func(lp *simplex.LP) { x.settleIn(lp, k, s) }); cost < below {
			best, below = tried{k, s, cost}, cost
		}
		if best.cost <= above {
			break
		}
	}
	return best
}

// try is what the mix would cost with something settled, +Inf where that is no
// less than most or not found. The mix stays where it is.
func (ma *master) try(w *Work, most float64, settle func(lp *simplex.LP)) float64 {
	lp, cost := ma.lp.Copy(), math.Inf(1)
	settle(lp)
	before := lp.Touched()
	if _, out := lp.Restore(mostTried, most); out {
		lp.Solve(mostTried)
		cost = lp.Cost()
	}
	w.Left -= (lp.Touched() - before) / perSchedule
	return cost
}

// mostTried is how many pivots a try takes at most to rule something out, and
// again to mix anew.
const mostTried = 300

// cheapest is the place of the least cost, the first of several.
func cheapest(costs []float64) int {
	best := 0
	for at, cost := range costs {
		if cost < costs[best] {
			best = at
		}
	}
	return best
}
