package search

import (
	"math/rand/v2"
	"slices"
)

// mixer generates schedules for a master at its own prices.
type mixer struct {
	*master
	*seeker
	target *Prices
	fixed  []bool     // per need of the master
	rng    *rand.Rand // rounds trips by chance, unless nil
	rough  bool
}

func (s *season) mixer(needs []int, load *Load, prices *Prices) *mixer {
	return s.mixerOf(needs, load, prices, false)
}

// roughMixer makes do with what walks find, and shares trips out roughly.
func (s *season) roughMixer(needs []int, load *Load, prices *Prices) *mixer {
	return s.mixerOf(needs, load, prices, true)
}

func (s *season) mixerOf(needs []int, load *Load, prices *Prices, rough bool) *mixer {
	k := s.seeker(load, prices, false)
	k.depth = 1
	return &mixer{master: newMaster(s.m, needs, load, rough), seeker: k, target: newPrices(s.m), fixed: make([]bool, len(needs)), rough: rough}
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
		x.open(x.target)
		x.seeker.prices.blend(x.target, pace)
	}
	x.seeker.prices.settle()
}

// solve mixes, and counts the work of it in schedules allocated, of which one
// takes about as long as changing ten thousand numbers of the inverse.
func (x *mixer) solve(pivots int) {
	for left := pivots; left > 0 && !x.work.cancelled(); left -= fewPivots {
		done := x.lp.Solve(min(left, fewPivots))
		x.work.Left -= done * x.rows * x.rows / 10_000
		if done < fewPivots {
			return
		}
	}
}

// fewPivots are done between two looks at the context.
const fewPivots = 100

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
		gained += x.add(k, made[at], x.columnCost(x.needs[k], made[at]))
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
	if good || x.rough || x.promise(k, s, x.columnCost(i, s)) > worthwhile*value {
		return s
	}
	s, _ = t.polish(i, s, value)
	return s
}

// columnCost is what a schedule costs, with its share of the trips that have
// no row.
func (x *mixer) columnCost(need int, s *Schedule) float64 {
	cost := s.Own()
	for stop, away := range s.Away {
		if away && x.carry[stop] < 0 && !x.linked[stop] {
			cost += x.seeker.prices.Open[need][stop]
		}
	}
	return cost
}

// open shares the cost of a stop's first trip among the needs that carry
// something away from it, where weight does not already pay for it.
func (x *mixer) open(p *Prices) {
	for stop, cost := range x.seeker.m.TripCost {
		if cost == 0 || x.carry[stop] >= 0 || x.linked[stop] || x.seeker.load.away[stop] > 0 || x.low[stop] > 0 || x.high[stop] == 0 {
			continue
		}
		users := 0.0
		for k := range x.needs {
			if x.carries(k, stop) > 0.5 {
				users++
			}
		}
		for k, i := range x.needs {
			p.Open[i][stop] = 0
			if x.carries(k, stop) > 0.5 {
				p.Open[i][stop] = cost / users
			}
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

// copy is a mixer of the same schedules with nothing settled.
func (x *mixer) copy(s *season, rough bool) *mixer {
	prices := newPrices(s.m)
	prices.copyFrom(x.seeker.prices)
	c := s.mixerOf(x.needs, newLoad(s.m), prices, rough)
	for k, pool := range x.pool {
		c.pool[k] = slices.Clone(pool)
	}
	c.build()
	return c
}

// limitTrips says how many trips at a stop the mix may make beyond those made
// already; build must follow.
func (x *mixer) limitTrips(stop int, low, high float64) {
	x.low[stop], x.high[stop] = low, high
	load := x.seeker.load
	most := x.seeker.m.trips(stop, load.kg[stop], load.away[stop] > 0) + high
	load.lift[stop] = 0
	if most > 0 {
		load.lift[stop] = most * x.seeker.m.Carry[stop]
	}
	x.seeker.prices.closed[stop] = most == 0
}

// least is the least priced cost of all schedules of the k-th need in the mix.
func (x *mixer) least(t *seeker, k int) float64 {
	i := x.needs[k]
	least := t.m.Needs[i].nothing()
	for _, c := range x.pool[k] {
		if t.work.cancelled() {
			break
		}
		least = min(least, t.value(i, c.schedule.clone()))
	}
	return least
}
