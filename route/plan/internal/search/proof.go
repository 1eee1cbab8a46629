package search

import (
	"cmp"
	"math"
	"slices"
)

// proof is what every need costs at least at the same prices, raised need by
// need.
type proof struct {
	season  *season
	prices  *Prices
	base    float64    // what trips cost beyond what needs pay for them, less what all room is worth
	least   []float64  // per need, a cost that is reached
	own     []float64  // per need, what it costs at least
	closers []*closer  // per need, nil until it is first raised
	rise    []float64  // per need, by how much a unit of effort on it raised the proof of late
	mends   []*mending // per need, nil until it is hard
}

// bound is what every plan costs at least.
func (f *proof) bound() float64 {
	bound := f.base
	for _, own := range f.own {
		bound += own
	}
	return bound - 1e-9*math.Abs(bound)
}

// worst are the needs that lack most of their proof for what was done about
// it, at most so many; none that lacks nothing to speak of.
func (f *proof) worst(most int) []int {
	var list []int
	rate := make([]float64, len(f.own))
	for i, own := range f.own {
		lacks, effort := f.least[i]-own, firstEffort
		if c := f.closers[i]; c != nil {
			if c.ended() {
				continue
			}
			effort += c.effort
		}
		if lacks > 1e-5*(1+f.least[i]) {
			if rate[i] = lacks / effort; f.closers[i] != nil {
				rate[i] = f.rise[i] + hope*rate[i]
			}
			list = append(list, i)
		}
	}
	slices.SortStableFunc(list, func(a, b int) int { return cmp.Compare(rate[b], rate[a]) })
	return list[:min(len(list), most)]
}

// firstEffort is about what bounding a need by a closer takes at first, in
// schedules allocated.
const (
	firstEffort = 300.0
	stretch     = 400.0 // of effort on one need
	raisedAside = 4     // needs raised side by side
	hope        = 0.1   // part of what lacks that effort is hoped to raise, beside what it raised of late
)

// raise splits needs for so much work. Schedules that are found on the way go
// into the mix, if it is to learn.
func (f *proof) raise(x *mixer, work int, learn bool) {
	s := f.season
	for until := s.work.Left - work; s.work.Left > until && !s.over(); {
		few := f.worst(raisedAside)
		if len(few) == 0 {
			return
		}
		found := make([][]*Schedule, len(few))
		x.each(len(few), func(t *seeker, at int) {
			if found[at] = f.close(t, few[at], learn); learn {
				found[at] = append(found[at], f.mend(t, x, few[at])...)
			}
		})
		for at, i := range few {
			for _, t := range found[at] {
				f.least[i] = min(f.least[i], f.prices.cost(s.m.Needs[i], i, t))
				x.gainBy(i, t)
			}
		}
	}
}

// close raises what a need costs at least and returns schedules found on the
// way, if anybody is to learn of them.
func (f *proof) close(t *seeker, i int, learn bool) (found []*Schedule) {
	c := f.closers[i]
	if c == nil {
		c = newCloser(t.m, f.prices, i, f.season.worth[i])
		f.closers[i] = c
	}
	c.offer = nil
	if learn {
		c.offer = func(s *Schedule) { found = append(found, t.shared(i, s)) }
	}
	before, own := c.effort, f.own[i]
	f.own[i] = max(f.own[i], c.run(f.least[i], stretch))
	f.rise[i] = (f.rise[i] + (f.own[i]-own)/(c.effort-before+1)) / 2
	f.least[i] = min(f.least[i], c.known)
	t.work.Left -= int(c.effort - before)
	if learn && c.best != nil {
		t.recount(t.m.Needs[i], c.best)
		found = append(found, t.share(i, c.best)) // as exactly as a mix with rows apart is not
		c.best = nil
	}
	return found
}

// shared is the best schedule of some packs, shared out and a little changed.
func (k *seeker) shared(i int, s *Schedule) *Schedule {
	best, value := s, math.Inf(1)
	for mode := range modes {
		u := s.clone()
		u.Mode = mode
		if v := k.value(i, u); v < value {
			best, value = u, v
		}
	}
	best, _ = k.touchUp(i, best, value)
	return k.shareSeveral(i, best)
}

// lacks is how much of what is known to be reached is not proven.
func (f *proof) lacks() float64 {
	lacks := 0.0
	for i, own := range f.own {
		lacks += max(0, f.least[i]-own)
	}
	return lacks
}

// sharpen raises a proof and mixes what is found on the way.
func (s *season) sharpen(x *mixer, f *proof, work int) {
	f.raise(x, work, true)
	s.bound = max(s.bound, f.bound())
	x.solve(4000)
	x.look()
}

// sharpenAnew begins a proof at the prices of the mix.
func (s *season) sharpenAnew(x *mixer, work int) {
	rounds := 40 // raising does what more of them would
	if len(s.m.Needs) <= mostBranched {
		rounds = 160 // branching goes on from there
	}
	x.reprice()
	s.proved = s.proof(x, rounds)
	s.sharpen(x, s.proved, work)
}

// gainBy mixes a schedule in if anything is gained by it.
func (x *mixer) gainBy(i int, t *Schedule) {
	if x.promise(i, t) > 1e-9*(1+t.Own()) {
		x.add(i, t)
	}
}
