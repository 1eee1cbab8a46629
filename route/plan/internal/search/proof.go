package search

import "math"

// proof is what every need costs at least at the same prices, raised need by
// need.
type proof struct {
	season  *season
	prices  *Prices
	base    float64   // what trips cost beyond what needs pay for them, less what all room is worth
	least   []float64 // per need, a cost that is reached
	own     []float64 // per need, what it costs at least
	closers []*closer // per need, nil until it is first raised
}

// bound is what every plan costs at least.
func (f *proof) bound() float64 {
	bound := f.base
	for _, own := range f.own {
		bound += own
	}
	return bound - 1e-9*math.Abs(bound)
}

// worst is the need that lacks most of its proof for what was done about it,
// -1 when none lacks any to speak of.
func (f *proof) worst() int {
	worst, most := -1, 0.0
	for i, own := range f.own {
		lacks, effort := f.least[i]-own, firstEffort
		if c := f.closers[i]; c != nil {
			effort += c.effort
		}
		if lacks > 1e-5*(1+f.least[i]) && lacks/effort > most {
			worst, most = i, lacks/effort
		}
	}
	return worst
}

// firstEffort is about what bounding a need by a closer takes at first, in
// schedules allocated.
const (
	firstEffort = 300.0
	stretch     = 400.0 // of effort on one need
)

// raise splits needs for so much work. Schedules that are found on the way go
// to found, unless that is nil.
func (f *proof) raise(work int, found func(need int, s *Schedule)) {
	s := f.season
	for until := s.work.Left - work; s.work.Left > until && !s.over(); {
		i := f.worst()
		if i < 0 {
			return
		}
		c := f.closers[i]
		if c == nil {
			c = newCloser(s.m, f.prices, i, s.worth[i])
			f.closers[i] = c
		}
		c.offer = nil
		if found != nil {
			c.offer = func(s *Schedule) { found(i, s) }
		}
		before := c.effort
		f.own[i] = max(f.own[i], c.run(f.least[i], stretch))
		f.least[i] = min(f.least[i], c.known)
		s.work.Left -= int(c.effort - before)
	}
}

// lacks is how much of what is known to be reached is not proven.
func (f *proof) lacks() float64 {
	lacks := 0.0
	for i, own := range f.own {
		lacks += max(0, f.least[i]-own)
	}
	return lacks
}

// sharpen raises a proof at the mixer's prices and mixes what is found anew.
func (s *season) sharpen(x *mixer, f *proof, work int) {
	f.raise(work, func(i int, t *Schedule) { x.found(i, t, f) })
	x.learn(f)
	s.bound = max(s.bound, f.bound())
	x.solve(4000)
}

// learn mixes in the cheapest schedules that a proof has come upon.
func (x *mixer) learn(f *proof) {
	for i, c := range f.closers {
		if c != nil && c.best != nil {
			t := c.best.clone()
			x.recount(x.seeker.m.Needs[i], t)
			x.gainBy(i, t)
			x.found(i, c.best, f)
			c.best = nil
		}
	}
}

// found mixes in what comes of some packs, shared out at the prices and a
// little changed.
func (x *mixer) found(i int, t *Schedule, f *proof) {
	best, value := t, math.Inf(1)
	for mode := range modes {
		u := t.clone()
		u.Mode = mode
		if v := x.value(i, u); v < value {
			best, value = u, v
		}
	}
	best, value = x.touchUp(i, best, value)
	f.least[i] = min(f.least[i], value)
	x.gainBy(i, best)
}

// gainBy mixes a schedule in if anything is gained by it.
func (x *mixer) gainBy(i int, t *Schedule) {
	if x.promise(i, t) > 1e-9*(1+t.Own()) {
		x.add(i, t.clone())
	}
}
