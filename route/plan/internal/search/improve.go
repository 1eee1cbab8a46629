package search

// settleDown takes out need after need and puts it back where the others
// leave room, until nothing changes or so many passes are
// made.
func (s *season) settleDown(passes int) {
	for changed := true; changed && passes > 0 && !s.over(); passes-- {
		changed = false
		for i := range s.m.Needs {
			if s.over() {
				break
			}
			if s.replace(i, false) {
				changed = true
			}
		}
		s.tell()
	}
	if !s.over() {
		s.remould()
	}
}

// tactic is a way to look for a better plan near the one at hand, with what it
// has gained and cost so far; what is long ago counts less.
type tactic struct {
	try        func() bool
	gain, work float64
}

// rate is what a unit of work gains.
func (t *tactic) rate() float64 { return t.gain / t.work }

// tactics take out a few needs and put them back one by one or mixed, share
// out all packs anew, dive again, or look at one need more closely.
func (s *season) tactics() []*tactic {
	list := []*tactic{
		{try: func() bool { s.remould(); return true }},
		{try: s.redive},
		{try: func() bool { return s.replace(s.rng.IntN(len(s.all)), true) }},
	}
	for size := 2; size <= min(7, len(s.all)); size++ {
		list = append(list,
			&tactic{try: func() bool { return s.ruin(s.group(size), s.reinsert) }},
			&tactic{try: func() bool { return s.ruin(s.group(size), s.remix) }})
	}
	return list
}

// improve tries tactics until the work is done, those that lately gained most
// for their work most often.
func (s *season) improve() {
	const memory, firstWork, curious = 0.9, 200, 0.15
	list := s.tactics()
	for _, t := range list {
		t.gain, t.work = 1e-4*s.total(), firstWork
	}
	for n := 0; !s.over() && n < 50_000 && s.gap() > 1e-6; n++ {
		t := list[s.rng.IntN(len(list))]
		if s.rng.Float64() > curious {
			t = s.draw(list)
		}
		before, left := s.total(), s.work.Left
		if t.try() {
			s.tell()
		}
		t.gain = memory*t.gain + max(0, before-s.total())
		t.work = memory*t.work + float64(left-s.work.Left) + 1
	}
	if s.work.ctx.Err() == nil {
		s.remould()
	}
}

// draw picks a tactic by chance, as likely as its rate.
func (s *season) draw(list []*tactic) *tactic {
	sum := 0.0
	for _, t := range list {
		sum += t.rate()
	}
	at := s.rng.Float64() * sum
	for _, t := range list {
		if at -= t.rate(); at <= 0 {
			return t
		}
	}
	return list[len(list)-1]
}

// gap is what is not proven, as a part of the total.
func (s *season) gap() float64 {
	total := s.best.Total()
	return (total - s.bound) / max(total, 1e-9)
}

// replace looks for a better schedule of one need, closely or not.
func (s *season) replace(i int, closely bool) bool {
	n, k := s.m.Needs[i], s.last
	s.load.add(n, s.plan[i], -1)
	before := s.plan[i].Own() + s.load.more(s.plan[i])
	schedule, value := s.plan[i], before
	if again, v := k.fit(i); v < value {
		schedule, value = again, v
	}
	if closely {
		schedule, value = k.polish(i, schedule.clone(), value)
	}
	better := value < before-1e-9*(1+before)
	if better {
		s.plan[i] = schedule
	}
	s.load.add(n, s.plan[i], 1)
	return better
}
