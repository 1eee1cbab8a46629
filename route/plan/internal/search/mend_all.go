package search

import "hardtack/route/plan/internal/simplex"

// mend is a schedule come to from another one by moves at prices in the room that a
// load leaves, for so much work; the same one where it does not fit.
func (k *seeker) mend(p *Prices, room *Load, need int, s *Schedule, worth []float64, work int) *Schedule {
	t := newMending(k.m, p, room, need, s, worth)
	t.run(work)
	k.work.Left -= t.effort
	if u := t.schedule(k); k.load.fits(k.m.Needs[need], u) {
		return u
	}
	return s
}

// mendDear tries packs near those that are dear, mended in the room that the mix
// leaves.
func (x *mixer) mendDear(best tried) tried {
	const work = 1000
	k := best.need
	i, load := x.needs[k], x.seeker.load
	n := x.seeker.m.Needs[i]
	if !n.several() {
		return best
	}
	mixes := x.occupy()
	load.add(n, mixes[k], -1)
	s := x.seeker.mend(x.seeker.prices, load, i, best.schedule, x.worth[i], work)
	load.add(n, mixes[k], 1)
	x.vacate(mixes)
	if s.samePacks(best.schedule) {
		return best
	}
	x.add(k, s)
	x.gain(mostTried, x.work)
	if cost := x.try(x.work, best.cost, func(lp *simplex.LP) { x.settleIn(lp, k, s) }); cost < best.cost {
		return tried{k, s, cost}
	}
	return best
}

// mended is, instead of the schedule that a need had, one found by moves in the room
// that the others leave, trips paid at what they add; nil where none is better.
func (k *seeker) mended(need int, old *Schedule, worth []float64) *Schedule {
	const work = 300
	s := k.mend(k.marginalTrips(need), k.load, need, old, worth, work)
	if before := old.Own() + k.load.more(old); s.Own()+k.load.more(s) < before-1e-9*(1+before) {
		return s
	}
	return nil
}

// mend mends all needs of several items in the plan at hand.
func (s *season) mend() {
	s.pass(s.several(), s.over, s.mended)
	s.tell()
}

// mendOne mends one of them.
func (s *season) mendOne() {
	if list := s.several(); len(list) > 0 {
		s.again(list[s.rng.IntN(len(list))], s.mended)
	}
}

func (s *season) mended(k *seeker, i int) *Schedule { return k.mended(i, s.plan[i], s.worth[i]) }

// several are the needs of several items.
func (s *season) several() (list []int) {
	for _, i := range s.all {
		if s.m.Needs[i].several() {
			list = append(list, i)
		}
	}
	return list
}
