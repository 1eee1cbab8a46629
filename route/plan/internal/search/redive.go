package search

import "math"

// redive dives from the schedules of the root once more, by other needs first or
// with one trip more or less at a stop.
func (s *season) redive() {
	if s.root == nil {
		return
	}
	stop := s.rng.IntN(s.m.Stops)
	y := s.root.copy(s, true)
	y.care = carefully()
	trips := s.m.trips(stop, s.load.kg[stop], s.load.away[stop] > 0)
	y.dice = s.rng
	kind := s.rng.IntN(4)
	switch kind {
	case 0:
		y.limitTrips(stop, trips+1, math.Inf(1))
	case 1:
		y.limitTrips(stop, 0, max(0, trips-1))
	}
	y.solve(4000)
	if kind < 2 {
		y.generate(5, 1e-4) // what there is has other trips in mind
	}
	if y.lp.Cost() < s.best.Total() {
		s.adopt(y)
	}
}
