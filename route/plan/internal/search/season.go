package search

import (
	"context"
	"math"
	"math/rand/v2"
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
	Seed    uint64
	Work    int           // schedules allocated
	Workers int           // 0 = one for each processor; they do not change the result
	Better  func(Result)  // told of every better plan; its Result must not be kept
	From    [][]*Schedule // plans at hand to start from, whose schedules need nothing but packs and flows
}

// Run searches until the work is spent or the context ends.
func Run(ctx context.Context, m *Model, o Options) Result { return newSeason(ctx, m, o).run() }

func (s *season) run() Result {
	h := newHaggler(s.m, s.prices)
	h.run(haggled)
	s.first(h.order())
	s.root = s.prove(s.sketch())
	if len(s.m.Needs) <= mostBranched { // there is hope for a proof
		s.alternate()
	}
	s.spend(s.work.Left*5/6, s.improve)
	if s.proved != nil && !s.proven() {
		s.proved.raise(s.root, s.work.Left, false)
		s.bound = max(s.bound, s.proved.bound())
	}
	s.branch(s.splitting(s.root), s.work.Left)
	s.takeBest()
	s.finish()
	return s.result()
}

// haggled is for how many rounds prices are haggled first.
const haggled = 60

// spend does something with a part of the work that is left.
func (s *season) spend(work int, do func()) {
	kept := max(0, s.work.Left-work)
	s.work.Left -= kept
	do()
	s.work.Left += kept
}

// first makes a plan at once, need after need in an order, each paying for the
// room it takes from the others.
func (s *season) first(order []int) {
	copyInto(s.biased.prices.Cell, s.prices.Cell)
	s.biased.prices.settle()
	for _, i := range order {
		s.plan[i], _ = s.biased.fit(i)
		s.load.add(s.m.Needs[i], s.plan[i], 1)
	}
	s.tell()
}

// adopt dives and takes the plan over when it is the best yet.
func (s *season) adopt(x *mixer) {
	plan := make([]*Schedule, len(s.m.Needs))
	x.most = s.total()
	if !x.dive(plan) || total(x.seeker.load, plan) >= s.total() {
		return
	}
	s.take(plan)
}

type season struct {
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
	last   *seeker // at what trips really add
	biased *seeker // the same, with prices for room
	all    []int
	worth  [][]float64 // per need, the last worths of its hull
	crew   crew
	root   *mixer        // of all schedules, once prices are settled
	lately [][]*Schedule // per need, what plans had
	quiet  bool          // what it finds is taken over by another one
	proved *proof        // at those prices, nil before
	dived  dived
}

func newSeason(ctx context.Context, m *Model, o Options) *season {
	s := &season{m: m, o: o, rng: rand.New(rand.NewPCG(o.Seed, 1)), load: newLoad(m),
		prices: newPrices(m), free: newPrices(m), work: &Work{o.Work, ctx}, plan: make([]*Schedule, len(m.Needs)),
		bound: math.Inf(-1), worth: make([][]float64, len(m.Needs)), lately: make([][]*Schedule, len(m.Needs))}
	for i := range m.Needs {
		s.all = append(s.all, i)
	}
	s.crew = newCrew(m, o.Workers)
	s.last = s.seeker(s.load, s.free, true)
	s.biased = s.seeker(s.load, newPrices(m), true)
	for stop, cost := range m.TripCost {
		if !math.IsInf(m.Carry[stop], 1) {
			s.prices.Kg[stop] = cost / m.Carry[stop]
		}
	}
	return s
}

func (s *season) over() bool { return s.work.over() }

func (s *season) seeker(load *Load, prices *Prices, marginal bool) *seeker {
	return &seeker{allocator: newAllocator(s.m, load, prices), marginal: marginal, work: s.work, depth: 4,
		crew: s.crew, chains: s.crew[0].chains, marches: s.crew[0].marches}
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

// finish buys what lacks and tidies up, which may make room to buy more.
func (s *season) finish() {
	for s.topUp(); !s.work.cancelled(); {
		s.consolidate()
		if !s.topUp() {
			return
		}
	}
}

// takeBest goes back to the best plan.
func (s *season) takeBest() {
	for i, n := range s.m.Needs {
		s.load.add(n, s.plan[i], -1)
		s.plan[i] = s.best.Schedules[i].clone()
		s.load.add(n, s.plan[i], 1)
	}
}

// total is what the plan at hand costs.
func (s *season) total() float64 { return total(s.load, s.plan) }

func total(l *Load, plan []*Schedule) float64 {
	total := l.tripsCost()
	for _, p := range plan {
		total += p.Own()
	}
	return total
}

// tell keeps the plan at hand when it is the best yet.
func (s *season) tell() {
	total := s.total()
	if s.quiet || s.best.Schedules != nil && total >= s.best.Total()-1e-9*total {
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
	r.Schedules = s.m.keepAboard(r.Schedules)
	r.Bound = max(0, min(s.bound, r.Total()))
	return r
}
