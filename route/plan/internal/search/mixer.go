package search

import (
	"cmp"
	"math"
	"math/rand/v2"
	"slices"
)

// mixer generates schedules for a master at its own prices.
type mixer struct {
	*master
	*seeker
	target *Prices
	fixed  []bool // per need of the master
	sure   []int  // needs of the master settled since the mix had all but settled them
	rough  bool
	owned  bool  // its model is its own
	copied []int // per need: schedules it had as a copy
	rest   []rest
	worth  [][]float64 // per need of the model, of its hull
	most   float64     // a dive whose mix costs more is given up
	dice   *rand.Rand  // for the choice of needs to settle; nil for none
	care
}

func (s *season) mixer(needs []int, load *Load, prices *Prices) *mixer {
	return s.mixerOf(needs, load, prices, false)
}

// roughMixer makes do with what walks find.
func (s *season) roughMixer(needs []int, load *Load, prices *Prices) *mixer {
	return s.mixerOf(needs, load, prices, true)
}

func (s *season) mixerOf(needs []int, load *Load, prices *Prices, rough bool) *mixer {
	k := s.seeker(load, prices, false)
	k.depth = 1
	return &mixer{master: newMaster(s.m, needs, load), seeker: k, target: newPrices(s.m), fixed: make([]bool, len(needs)), rest: make([]rest, len(needs)), worth: s.worth, most: math.Inf(1), rough: rough}
}

// generate makes schedules until the mix gains less than a part of its cost
// at its very prices; on the way there it moves towards them by steps, which
// makes better schedules.
func (x *mixer) generate(rounds int, part float64) {
	pace := 0.6
	for round := 0; round < rounds && !x.work.over(); round++ {
		x.seeker.prices.settle()
		gained := x.columns()
		x.solve(4000)
		if round > 1 && gained < part*x.lp.Cost() {
			if pace == 1 {
				break
			}
			pace = 1
		}
		x.master.prices(x.target)
		x.seeker.prices.blend(x.target, pace)
	}
	x.seeker.prices.settle()
}

// reprice prices what schedules are made of as the mix does.
func (x *mixer) reprice() {
	x.master.prices(x.seeker.prices)
	x.seeker.prices.settle()
}

// solve drives out what is ruled out and mixes anew.
func (x *mixer) solve(pivots int) {
	if x.unmixed {
		x.begin(pivots)
		return
	}
	x.lp.Renew(1e-9)
	_, out := x.lp.Restore(min(pivots, mostRestored), math.Inf(1))
	x.charge(x.work)
	if !out { // goes round in circles: all over again
		x.build()
		x.begin(pivots)
		return
	}
	x.gain(pivots, x.work)
}

// begin mixes for the first time since the master was built: where some trip
// is made in any case, none at all is dear until there is one.
func (x *mixer) begin(pivots int) {
	x.unmixed = false
	dear := 0.0
	for _, i := range x.needs {
		dear += x.seeker.m.Needs[i].nothing()
	}
	price := func(cost float64) {
		for stop, row := range x.none {
			if row >= 0 && x.low[stop] > 0 {
				x.lp.SetCost(row, cost)
			}
		}
		x.lp.Price()
	}
	price(dear)
	x.gain(2*pivots, x.work)
	price(0)
	x.lp.Restore(mostRestored, math.Inf(1))
	x.gain(pivots, x.work)
}

// columns makes a schedule for each open need at the prices and returns what
// they promise to gain in all.
func (x *mixer) columns() float64 {
	var open []int
	for k := range x.needs {
		if !x.fixed[k] {
			open = append(open, k)
		}
	}
	made := make([]*Schedule, len(open))
	x.each(len(open), func(t *seeker, at int) { made[at] = x.propose(t, open[at]) })
	gained := 0.0
	for at, k := range open {
		gained += x.add(k, made[at])
	}
	return gained
}

// worthwhile is the least part of its cost that a schedule must promise to
// gain to go into the mix before anything better is looked for.
const worthwhile = 2e-3

// propose is a good schedule of the k-th need at the prices.
func (x *mixer) propose(t *seeker, k int) *Schedule {
	i := x.needs[k]
	s, value, good := t.walk(i)
	if x.rough {
		return s
	}
	polished := !good && x.promise(k, s) <= worthwhile*value && x.rest[k].over()
	if polished {
		s, value = t.polish(i, s, value)
	}
	if !x.hasty {
		s = t.shareSeveral(i, s)
	}
	if polished {
		x.rest[k].after(x.promise(k, s) > 1e-9*value)
	}
	return s
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

// copy is a mixer of the same schedules, of each need those that were least
// dear when last looked at, with nothing settled.
func (x *mixer) copy(s *season, rough bool) *mixer {
	prices := newPrices(s.m)
	prices.copyFrom(x.seeker.prices)
	c := s.mixerOf(x.needs, newLoad(s.m), prices, rough)
	for k, pool := range x.pool {
		pool = slices.Clone(pool)
		slices.SortStableFunc(pool, func(a, b mixed) int { return cmp.Compare(a.over, b.over) })
		c.pool[k] = pool[:min(len(pool), mostCopied)]
		c.copied = append(c.copied, len(c.pool[k]))
	}
	c.build()
	return c
}

const mostCopied = 20

// absorb mixes in the schedules that a copy has made since.
func (x *mixer) absorb(y *mixer) {
	for k := range x.pool {
		for _, c := range y.pool[k][y.copied[k]:] {
			x.add(k, c.schedule)
		}
	}
	x.solve(4000)
}

// limitTrips says how many trips at a stop the mix may make beyond those made
// already.
func (x *mixer) limitTrips(stop int, low, high float64) {
	x.low[stop], x.high[stop] = low, high
	x.allowTrips(stop, low, high)
	load := x.seeker.load
	most := x.seeker.m.trips(stop, load.kg[stop], load.away[stop] > 0) + high
	load.lift[stop] = 0
	if most > 0 {
		load.lift[stop] = most * x.seeker.m.Carry[stop]
	}
	x.seeker.prices.closed[stop] = most == 0
}

// least is the schedule of the k-th need in the mix that costs least at prices,
// and that cost; none where to do nothing costs less.
func (x *mixer) least(p *Prices, k int) (best *Schedule, least float64) {
	i := x.needs[k]
	n := x.seeker.m.Needs[i]
	least = n.nothing()
	for _, c := range x.pool[k] {
		if cost := p.cost(n, i, c.schedule); cost < least {
			best, least = c.schedule, cost
		}
	}
	return best, least
}
