package search

// mixer generates schedules for a master at its own prices.
type mixer struct {
	*master
	*seeker
	target *Prices
	fixed  []bool // per need of the master
}

func (s *season) mixer(needs []int, load *Load, prices *Prices) *mixer {
	k := s.seeker(load, prices, false)
	k.depth = 1
	return &mixer{master: newMaster(s.m, needs, load), seeker: k, target: newPrices(s.m), fixed: make([]bool, len(needs))}
}

// generate makes schedules until the mix gains less than a part of its cost.
func (x *mixer) generate(rounds int, part float64, trace func(string, ...any)) {
	for round := 0; round < rounds && x.work.Left > 0; round++ {
		x.reprice()
		gained := x.columns(round)
		x.lp.Solve(4000)
		if trace != nil {
			trace("round %d: master %.2f gained %.2f work %d", round, x.lp.Cost(), gained, x.work.Left)
		}
		if round > 1 && gained < part*x.lp.Cost() {
			break
		}
		x.master.prices(x.target)
		x.open(x.target)
		x.seeker.prices.blend(x.target, 0.6)
	}
	x.reprice()
}

// columns makes a schedule for each open need at the prices and returns what
// they promise to gain in all.
func (x *mixer) columns(round int) float64 {
	gained := 0.0
	for k, i := range x.needs {
		if x.fixed[k] {
			continue
		}
		likely, _ := x.likely(k)
		schedule, value := x.start(i, likely, round)
		schedule, _ = x.polish(i, schedule, value)
		gained += x.add(k, schedule, x.columnCost(i, schedule))
	}
	return gained
}

// columnCost is what a schedule costs, with its share of the trips that have
// no row.
func (x *mixer) columnCost(need int, s *Schedule) float64 {
	cost := s.Own()
	for stop, away := range s.Away {
		if away {
			cost += x.seeker.prices.Open[need][stop]
		}
	}
	return cost
}

// open shares the cost of a stop's first trip among the needs that carry
// something away from it, where weight does not already pay for it.
func (x *mixer) open(p *Prices) {
	for stop, cost := range x.seeker.m.TripCost {
		if x.carry[stop] >= 0 || x.seeker.load.away[stop] > 0 {
			continue
		}
		users := 0.0
		for k := range x.needs {
			users += x.share(k, stop)
		}
		for _, i := range x.needs {
			p.Open[i][stop] = cost / max(users, 1)
		}
	}
}

// blend moves the prices a part of the way to others.
func (p *Prices) blend(to *Prices, part float64) {
	mix := func(from, to []float64) {
		for q := range from {
			from[q] += part * (to[q] - from[q])
		}
	}
	for r := range p.Cell {
		mix(p.Cell[r], to.Cell[r])
	}
	mix(p.Kg, to.Kg)
	for i := range p.Open {
		mix(p.Open[i], to.Open[i])
	}
}

// start is a schedule to walk from: the one given, allocated at the prices of
// now, or a new one.
func (k *seeker) start(need int, from *Schedule, round int) (*Schedule, float64) {
	if from == nil || round%4 == 0 {
		return k.fresh(need)
	}
	again := from.clone()
	return again, k.value(need, again)
}

// dive settles need after need on its likeliest schedule, making new ones for
// the others in between, and writes the schedules to plan. The load, which
// the master shares, has them all in the end.
func (x *mixer) dive(plan []*Schedule) {
	for open := len(x.needs); open > 0; {
		settled := x.settleLikely(plan)
		open -= settled
		if open > 0 && x.work.Left > 0 {
			x.lp.Solve(2000)
			x.generate(2, 1e-4, nil)
		}
	}
}

// settleLikely settles all needs that are all but settled, or else the
// likeliest one, and returns how many.
func (x *mixer) settleLikely(plan []*Schedule) int {
	best, most, count := -1, -1.0, 0
	shares := make([]float64, len(x.needs))
	for k := range x.needs {
		if x.fixed[k] {
			continue
		}
		_, shares[k] = x.likely(k)
		if shares[k] > most {
			best, most = k, shares[k]
		}
	}
	for k := range x.needs {
		if !x.fixed[k] && (k == best || shares[k] > min(0.999, most)-1e-9) {
			x.fix(k, plan)
			count++
		}
	}
	return count
}

// fix puts the likeliest schedule of a need into the load, made to fit.
func (x *mixer) fix(k int, plan []*Schedule) {
	i := x.needs[k]
	n := x.seeker.m.Needs[i]
	s, _ := x.likely(k)
	switch {
	case s == nil:
		s, _ = x.fresh(i)
		x.add(k, s, x.columnCost(i, s))
	case !x.seeker.load.fits(n, s):
		start := s.clone()
		s, _ = x.polish(i, start, x.value(i, start))
		x.add(k, s, x.columnCost(i, s))
	}
	x.fixed[k] = true
	x.master.settle(k, s)
	x.seeker.load.add(n, s, 1)
	plan[i] = s
}

// fits says whether a schedule finds room.
func (l *Load) fits(n *Need, s *Schedule) bool {
	l.add(n, s, 1)
	fits := true
	for _, row := range l.free {
		for _, free := range row {
			fits = fits && free >= -1e-7
		}
	}
	l.add(n, s, -1)
	return fits
}
