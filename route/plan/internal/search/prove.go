package search

const (
	mostSharpened  = 40_000 // most work for raising a proof before others are begun
	leastSharpened = 500    // less is better spent on the plan
	roundsSoon     = 10     // of rough schedules before the first dive, which is to be done soon
)

// prove mixes thoroughly for good prices, dives again and proves a bound. It
// returns a mixer of all schedules to split plans from.
func (s *season) prove(x *mixer) *mixer {
	rounds := func() { x.generate(3, 1e-4) }
	s.spend(s.work.Left/2, func() {
		s.tie(x)
		s.enrich(x, rounds, x.mend)
	})
	s.tie(x)
	s.bound = max(s.bound, s.lower(x, 60))
	if s.work.Left > s.o.Work/4 { // else what is left is needed for a proof
		s.plunge(x, carefully())
	}
	if work := min(s.o.Work/20, mostSharpened); work > leastSharpened && !s.over() {
		sharpen := func() { s.sharpenAnew(x, work) }
		s.spend(s.work.Left/2, func() { s.enrich(x, sharpen, x.mend, rounds) })
		s.tie(x)
		s.sharpenAnew(x, work)
	} else {
		s.bound = max(s.bound, s.lower(x, 160))
		s.bound = max(s.bound, s.lower(x, 160)) // from the worths found, some needs climb much higher
	}
	for cut := 0; cut < 4 && s.bound < s.best.Total()/2 && !s.work.cancelled(); cut++ {
		x.seeker.prices.blend(s.free, 0.6) // prices far from settled are too high
		x.seeker.prices.settle()
		s.bound = max(s.bound, s.lower(x, 60))
	}
	x.look()
	return x
}

// tie ties stops in a mix, until it makes a whole trip or none at each that may be.
func (s *season) tie(x *mixer) {
	for x.tie() {
		x.solve(4000)
		x.generate(6, 1e-4)
	}
}

// sketch mixes roughly for a sensible plan soon, rounds and then dives, and
// returns a mixer of the schedules it made.
func (s *season) sketch() *mixer {
	x := s.roughMixer(s.all, newLoad(s.m), s.prices)
	s.start(x)
	x.generate(roundsSoon, 1e-4)
	if !s.over() {
		s.bound = s.lower(x, 30) // a rough one soon, told with the next plan
		s.spend(s.work.Left/8, x.mend)
		s.round(x)
		s.plunge(x, quickly())
	}
	x.look()
	x = x.copy(s, false)
	x.solve(4000)
	return x
}

// plunge dives from a mix, settles what comes of it down, and leaves the mixer
// the schedules found on the way.
func (s *season) plunge(x *mixer, how care) {
	if s.over() {
		return
	}
	before := s.work.Left
	x.look()
	y := x.copy(s, true)
	y.care = how
	y.solve(4000)
	s.adopt(y)
	x.absorb(y)
	if how.hard {
		s.dived = dived{x.lp.Cost(), before - s.work.Left}
	}
	s.settleDown(9)
	if how.hard {
		s.mend()
	}
}

// dived is what the mix cost after the last careful dive from it, and the work
// that took.
type dived struct {
	cost float64
	work int
}

// plungeAgain dives carefully once more where the mix has become cheaper since,
// by a part, and enough work is left. A root that was split has schedules its mix
// does not know.
func (s *season) plungeAgain() {
	const much = 3e-4
	if s.root != nil && len(s.m.Needs) > mostBranched && s.root.lp.Cost() < s.dived.cost*(1-much) && s.dived.work < s.work.Left {
		s.plunge(s.root, carefully())
	}
}
