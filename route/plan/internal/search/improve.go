package search

// settleDown takes out need after need and puts it back where the others
// leave room, until nothing changes.
func (s *season) settleDown() {
	for changed := true; changed && !s.over(); {
		changed = false
		for i := range s.m.Needs {
			if s.over() {
				break
			}
			if s.replace(s.last, i, true) {
				changed = true
			}
		}
		s.tell()
	}
	if !s.over() {
		s.remould()
	}
}

// improve takes out groups of needs and mixes them anew until the work is
// done.
func (s *season) improve() {
	better := 0
	for n := 0; !s.over() && n < 5000 && s.gap() > 1e-6; n++ {
		again := s.remix
		if n%2 != 0 {
			again = s.reinsert
		}
		if s.ruin(s.group(min(2+s.rng.IntN(6), len(s.m.Needs))), again) {
			s.tell()
			if better++; better%4 == 0 {
				s.remould()
			}
		}
	}
	if s.work.ctx.Err() == nil {
		s.remould()
	}
}

// gap is what is not proven, as a part of the total.
func (s *season) gap() float64 {
	total := s.best.Total()
	return (total - s.bound) / max(total, 1e-9)
}

// replace looks for a better schedule of one need.
func (s *season) replace(k *seeker, i int, anew bool) bool {
	n := s.m.Needs[i]
	s.load.add(n, s.plan[i], -1)
	before := s.plan[i].Own() + s.load.more(s.plan[i])
	schedule, value := k.polish(i, s.plan[i].clone(), before)
	if anew {
		again, v := k.fresh(i)
		if again, v = k.polish(i, again, v); v < value {
			schedule, value = again, v
		}
	}
	better := value < before-1e-9*(1+before)
	if better {
		s.plan[i] = schedule
	}
	s.load.add(n, s.plan[i], 1)
	return better
}
