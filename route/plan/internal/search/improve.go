package search

import "slices"

// settleDown takes out need after need and puts it back where the others
// leave room, until nothing changes or so many passes are made, and mixes anew
// what is stowed of it; as often as that gains much.
func (s *season) settleDown(passes int) {
	const times, much = 4, 1e-3
	for range times {
		for changed := true; changed && passes > 0 && !s.over(); passes-- {
			changed = s.pass(s.all, s.over, func(k *seeker, i int) *Schedule { return k.instead(i, s.plan[i], false) })
			s.tell()
		}
		if s.over() {
			return
		}
		before := s.total()
		if s.remould(); s.total() > before*(1-much) {
			return
		}
	}
}

// neighbours is how many needs are looked at from the same plan at hand.
const neighbours = 8

// pass takes out one need at a time, looks for a better schedule of it, and says
// whether it found one. Where what was found beside other changes does not fit or
// pay after them, it looks again. It ends early when it is over.
func (s *season) pass(needs []int, over func() bool, look func(k *seeker, i int) *Schedule) bool {
	better := false
	found := make([]*Schedule, neighbours)
	for from := 0; from < len(needs) && !over(); from += neighbours {
		few := needs[from:min(from+neighbours, len(needs))]
		s.last.each(len(few), func(k *seeker, at int) { found[at] = s.without(k, few[at], look) })
		for at, i := range few {
			if found[at] != nil {
				better = s.exchange([]int{i}, found[at:at+1]) || s.again(i, look) || better
			}
		}
	}
	return better
}

// without looks for a schedule of a need that a seeker has taken out.
func (s *season) without(k *seeker, i int, look func(k *seeker, i int) *Schedule) *Schedule {
	k.load.add(k.m.Needs[i], s.plan[i], -1)
	defer k.load.add(k.m.Needs[i], s.plan[i], 1)
	return look(k, i)
}

// again looks once more for a better schedule of one need.
func (s *season) again(i int, look func(k *seeker, i int) *Schedule) bool {
	found := s.without(s.last, i, look)
	return found != nil && s.exchange([]int{i}, []*Schedule{found})
}

// exchange gives some needs other schedules when that fits and costs less.
func (s *season) exchange(needs []int, schedules []*Schedule) bool {
	before, free := s.total(), slices.Clone(s.load.all)
	old := make([]*Schedule, len(needs))
	for at, i := range needs {
		old[at] = s.plan[i]
		s.put(i, schedules[at])
	}
	if s.total() < before-1e-9*before && s.load.holds(free) {
		return true
	}
	for at, i := range needs {
		s.put(i, old[at])
	}
	return false
}

// put gives a need a schedule.
func (s *season) put(i int, schedule *Schedule) {
	s.load.add(s.m.Needs[i], s.plan[i], -1)
	s.plan[i] = schedule
	s.load.add(s.m.Needs[i], schedule, 1)
}

// tactic is a way to look for a better plan near the one at hand, with what it
// has gained and cost so far; what is long ago counts less.
type tactic struct {
	try        func(*season)
	gain, work float64
}

// rate is what a unit of work gains.
func (t *tactic) rate() float64 { return t.gain / t.work }

// note counts a try.
func (t *tactic) note(gain float64, work int) {
	const memory = 0.9
	t.gain = memory*t.gain + gain
	t.work = memory*t.work + float64(work) + 1
}

// tactics take out a few needs and put them back one by one or mixed, share
// out all packs anew, dive again, or look at one need more closely.
func (s *season) tactics() []*tactic {
	list := []*tactic{
		{try: (*season).remould},
		{try: (*season).redive},
		{try: func(s *season) { s.replace(s.rng.IntN(len(s.all)), true) }},
		{try: (*season).mendOne},
	}
	group := func(again func(*season, []int, []*Schedule), sizes ...int) {
		for _, size := range sizes {
			if size <= len(s.all) {
				list = append(list, &tactic{try: func(s *season) {
					s.ruin(s.group(size), func(group []int, kept []*Schedule) { again(s, group, kept) })
				}})
			}
		}
	}
	group((*season).reinsert, 2, 3)
	group((*season).remix, 2, 3, 4, 6, 9, 14, 22)
	group((*season).repick, 6, 9, 14, 22, 35)
	const firstWork = 200
	for _, t := range list {
		t.gain, t.work = 1e-4*s.total(), firstWork
	}
	return list
}

// improve tries tactics until the work is done, those that lately gained most
// for their work most often: several walks at a time, each from the plan at
// hand. The more of them come back with nothing, the more are sent next.
func (s *season) improve() {
	list, proving := s.tactics(), s.work.Left
	for width := fewWalks; !s.over() && !s.proven(); {
		s.plungeAgain()
		lucky := s.venture(list, width)
		switch {
		case lucky == 0:
			width = min(2*width, mostWalks)
		case lucky > 1:
			width = max(width/2, fewWalks)
		}
		s.tell()
		s.prodProof(&proving)
	}
	if s.work.ctx.Err() == nil {
		s.remould()
	}
}

// prodProof raises the proof for half as much work as has been done since a count of
// what is left, unless so little that it is not worth while.
func (s *season) prodProof(since *int) {
	done := *since - s.work.Left
	if s.proved == nil || s.quiet || done < leastSharpened || len(s.m.Needs) <= mostBranched {
		return
	}
	s.sharpen(s.root, s.proved, done/2)
	const raised = 0.75 // of what can be raised at all: at these prices too much else is out of reach
	if most := s.root.lp.Cost() - s.proved.bound(); s.proved.lacks() < raised*most && most > 1e-3*s.bound {
		s.tie(s.root)
		s.root.generate(3, 1e-4) // not much is to be had at those prices
		s.proved = s.proof(s.root, 160)
	}
	*since = s.work.Left
}

// proven says whether nothing to speak of is left to prove.
func (s *season) proven() bool { return s.gap() <= 1e-6 }

// gap is what is not proven, as a part of the total.
func (s *season) gap() float64 {
	total := s.best.Total()
	return (total - s.bound) / max(total, 1e-9)
}

// replace looks for a better schedule of one need, closely or not.
func (s *season) replace(i int, closely bool) bool {
	n := s.m.Needs[i]
	s.load.add(n, s.plan[i], -1)
	better := s.last.instead(i, s.plan[i], closely)
	if better != nil {
		s.plan[i] = better
	}
	s.load.add(n, s.plan[i], 1)
	return better != nil
}

// instead is a better schedule of a need than the one it had, nil when none is
// found.
func (k *seeker) instead(i int, old *Schedule, closely bool) *Schedule {
	before := old.Own() + k.load.more(old)
	schedule, value := old, before
	if again, v := k.fit(i); v < value {
		schedule, value = again, v
	}
	if closely {
		schedule, value = k.polish(i, schedule.clone(), value)
	}
	if value < before-1e-9*(1+before) {
		return schedule
	}
	return nil
}
