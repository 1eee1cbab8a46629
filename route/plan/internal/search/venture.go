package search

import (
	"cmp"
	"math"
	"math/rand/v2"
	"slices"
)

// How many walks are sent from one plan at hand, and the most work of each but
// for the last thing it tries.
const (
	fewWalks, mostWalks = 2, 16
	walkWork            = 4000
)

// attempted is what one try of a tactic gained, and its work.
type attempted struct {
	tactic, work int
	gain         float64
}

// venture sends walks of tactics from the plan at hand, each with dice of its
// own, takes what the best of them found and of the others what still fits and
// pays then, and returns how many found anything.
func (s *season) venture(list []*tactic, width int) (lucky int) {
	before, work := s.total(), min(walkWork, s.work.Left/(2*width)+1)
	walks, tries := make([]*season, width), make([][]attempted, width)
	for w := range walks {
		walks[w] = s.apart(s.rng.Uint64())
	}
	s.last.each(width, func(k *seeker, w int) {
		walks[w].at(k)
		tries[w] = walks[w].wander(list, work)
	})
	for _, each := range tries {
		for _, t := range each {
			list[t.tactic].note(t.gain, t.work)
		}
	}
	gained := func(w *season) float64 { return before - w.total() }
	walks = slices.DeleteFunc(walks, func(w *season) bool { return gained(w) <= 1e-9*before })
	slices.SortStableFunc(walks, func(a, b *season) int { return cmp.Compare(gained(b), gained(a)) })
	start := slices.Clone(s.plan)
	for _, w := range walks {
		var needs []int
		var schedules []*Schedule
		for i := range s.all {
			if w.plan[i] != start[i] {
				needs, schedules = append(needs, i), append(schedules, w.plan[i])
			}
		}
		if s.exchange(needs, schedules) {
			for at, i := range needs {
				s.remember(i, schedules[at])
			}
		}
	}
	return len(walks)
}

// apart is the season once more, to try things with that need not come to
// anything.
func (s *season) apart(seed uint64) *season {
	w := *s
	w.quiet, w.plan = true, slices.Clone(s.plan)
	w.rng = rand.New(rand.NewPCG(seed, 2))
	return &w
}

// at makes a season work with what a seeker has.
func (s *season) at(k *seeker) {
	s.work, s.crew, s.last, s.load = k.work, k.crew, k, k.load
	prices := newPrices(s.m)
	prices.copyFrom(s.biased.prices)
	s.biased = s.seeker(s.load, prices, true)
}

// wander tries tactics until so much work is done.
func (s *season) wander(list []*tactic, work int) (tries []attempted) {
	const curious = 0.15
	for until := s.work.Left - work; s.work.Left > until && !s.over(); {
		t := s.rng.IntN(len(list))
		if s.rng.Float64() > curious {
			t = s.draw(list)
		}
		before, left := s.total(), s.work.Left
		list[t].try(s)
		s.work.Left-- // so that there is an end to tries that do nothing
		tries = append(tries, attempted{t, left - s.work.Left, math.Max(0, before-s.total())})
	}
	return tries
}

// draw picks a tactic by chance, as likely as its rate.
func (s *season) draw(list []*tactic) int {
	sum := 0.0
	for _, t := range list {
		sum += t.rate()
	}
	at := s.rng.Float64() * sum
	for k, t := range list {
		if at -= t.rate(); at <= 0 {
			return k
		}
	}
	return len(list) - 1
}
