package search

// hardEffort is the effort on a need's bound after which its best schedule is
// mended too: that of needs of many items may be far from the least, so that what
// lacks is not the bound's.
const hardEffort = 1000.0

// mend looks for a better schedule of a hard need near the best one known, and goes
// on where it left off. It returns one where it found any.
func (f *proof) mend(t *seeker, x *mixer, i int) []*Schedule {
	if c := f.closers[i]; c.effort < hardEffort || c.ended() || !t.m.Needs[i].several() {
		return nil
	}
	before := f.least[i]
	if m := f.mends[i]; m != nil {
		before = m.value
	} else if !f.startMending(t, x, i) {
		return nil
	}
	m := f.mends[i]
	effort := m.effort
	m.run(stretch)
	t.work.Left -= m.effort - effort
	if m.value > before*(1-leastMended) {
		return nil
	}
	if s := m.schedule(t); t.load.fits(t.m.Needs[i], s) {
		return []*Schedule{s}
	}
	return nil
}

// startMending is false where nothing is bought at best.
func (f *proof) startMending(t *seeker, x *mixer, i int) bool {
	s, _ := x.least(f.prices, i)
	if s == nil {
		return false
	}
	f.mends[i] = newMending(t.m, f.prices, t.load, i, s, f.season.worth[i])
	t.work.Left -= f.mends[i].effort
	return true
}
