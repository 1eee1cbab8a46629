package search

import (
	"context"
	"math"
	"math/rand/v2"
	"sort"
)

// Result is the best plan found and the bound proven.
type Result struct {
	Schedules []*Schedule // one per need
	Trips     float64     // cost of all trips
	Bound     float64
}

// Total is what the plan costs.
func (r Result) Total() float64 {
	total := r.Trips
	for _, s := range r.Schedules {
		total += s.Own()
	}
	return total
}

// Options steer a search: the same options give the same result, as long as
// the context is not cancelled.
type Options struct {
	Seed   uint64
	Work   int          // schedules allocated
	Better func(Result) // told of every better plan; its Result must not be kept
}

// Run searches until the work is spent or the context ends.
func Run(ctx context.Context, m *Model, o Options) Result {
	s := newSeason(ctx, m, o)
	s.price()
	s.build()
	s.tell()
	s.improve()
	return s.result()
}

type season struct {
	ctx    context.Context
	m      *Model
	o      Options
	rng    *rand.Rand
	load   *Load
	prices *Prices // of the bound
	free   *Prices // nothing costs anything
	work   *Work
	plan   []*Schedule
	best   Result
	bound  float64
}

func newSeason(ctx context.Context, m *Model, o Options) *season {
	s := &season{ctx: ctx, m: m, o: o, rng: rand.New(rand.NewPCG(o.Seed, 1)), load: newLoad(m),
		prices: newPrices(m), free: newPrices(m), work: &Work{o.Work}, plan: make([]*Schedule, len(m.Needs)),
		bound: math.Inf(-1)}
	for stop, cost := range m.TripCost {
		if !math.IsInf(m.Carry[stop], 1) {
			s.prices.Kg[stop] = cost / m.Carry[stop]
		}
	}
	return s
}

func (s *season) over() bool { return s.work.Left <= 0 || s.ctx.Err() != nil }

func (s *season) seeker(load *Load, prices *Prices, marginal bool) *seeker {
	return &seeker{allocator: newAllocator(s.m, load, prices), marginal: marginal, work: s.work}
}

// price finds prices at which the needs, each on its own, ask for about the
// room there is, and keeps the best bound seen on the way.
func (s *season) price() {
	k := s.seeker(nil, s.prices, false)
	best := newPrices(s.m)
	for round := 0; round < 12; round++ {
		s.prices.settle()
		if bound := s.m.lower(k.allocator); bound > s.bound {
			s.bound = bound
			best.copyFrom(s.prices)
		}
		if s.over() {
			break
		}
		load := newLoad(s.m)
		for i, n := range s.m.Needs {
			schedule, _ := k.fresh(i)
			load.add(n, schedule, 1)
		}
		if !s.adjust(load, 1/float64(round+2)) {
			break
		}
	}
	s.prices.settle()
}

// adjust raises the price of what is asked for too much and lowers that of
// what is left, and says whether anything was asked for too much.
func (s *season) adjust(load *Load, step float64) bool {
	over := false
	for r, row := range load.free {
		for q, free := range row {
			if free < 0 {
				over = true
			}
			room := max(s.m.Room[r], 1e-3)
			s.prices.Cell[r][q] = max(0, s.prices.Cell[r][q]-step*0.2*max(-1, min(1, free/room)))
		}
	}
	return over
}

func (p *Prices) copyFrom(o *Prices) {
	for r := range p.Cell {
		copy(p.Cell[r], o.Cell[r])
	}
	copy(p.Kg, o.Kg)
	for n := range p.Open {
		copy(p.Open[n], o.Open[n])
	}
	p.settle()
}

// build makes a first plan: the needs that would lose most go first, and pay
// the prices for the room they take from others.
func (s *season) build() {
	k := s.seeker(s.load, s.prices, false)
	order := make([]int, len(s.m.Needs))
	loss := make([]float64, len(s.m.Needs))
	for i, n := range s.m.Needs {
		order[i] = i
		for _, g := range n.Segments {
			loss[i] += g.Amount * n.Miss
		}
	}
	sort.SliceStable(order, func(i, j int) bool { return loss[order[i]] > loss[order[j]] })
	for _, i := range order {
		schedule, _ := k.fresh(i)
		s.plan[i] = schedule
		s.load.add(s.m.Needs[i], schedule, 1)
	}
}

// total is what the plan at hand costs.
func (s *season) total() float64 {
	total := s.load.tripsCost()
	for _, p := range s.plan {
		total += p.Own()
	}
	return total
}

// tell keeps the plan at hand when it is the best yet.
func (s *season) tell() {
	total := s.total()
	if s.best.Schedules != nil && total >= s.best.Total()-1e-9*total {
		return
	}
	s.best = Result{Trips: s.load.tripsCost(), Bound: s.bound}
	for _, p := range s.plan {
		s.best.Schedules = append(s.best.Schedules, p.clone())
	}
	if s.o.Better != nil {
		s.o.Better(s.result())
	}
}

func (s *season) result() Result {
	r := s.best
	r.Bound = max(0, min(s.bound-1e-9*math.Abs(s.bound), r.Total()))
	return r
}

// improve takes out need after need and puts it back where the others leave
// room, until nothing changes, then groups of needs.
func (s *season) improve() {
	k := s.seeker(s.load, s.free, true)
	for changed := true; changed && !s.over(); {
		changed = false
		for i := range s.m.Needs {
			if s.over() {
				break
			}
			if s.replace(k, i) {
				changed = true
			}
		}
		s.tell()
	}
}

// replace looks for a better schedule of one need.
func (s *season) replace(k *seeker, i int) bool {
	n := s.m.Needs[i]
	s.load.add(n, s.plan[i], -1)
	before := s.plan[i].Own() + s.load.more(s.plan[i])
	schedule, value := k.fresh(i)
	schedule, value = k.polish(i, schedule, value)
	again := s.plan[i].clone()
	if again, v := k.polish(i, again, before); v < value {
		schedule, value = again, v
	}
	if value < before-1e-9*(1+before) {
		s.plan[i] = schedule
	}
	s.load.add(n, s.plan[i], 1)
	return value < before-1e-9*(1+before)
}
