package search

import "math"

// redive mixes the schedules of the root once more with one trip more or less
// at a stop and dives.
func (s *season) redive() {
	if s.root == nil {
		return
	}
	stop := s.rng.IntN(s.m.Stops)
	y := s.root.copy(s, true)
	y.care = carefully()
	trips := s.m.trips(stop, s.load.kg[stop], s.load.away[stop] > 0)
	if s.rng.IntN(3) > 0 {
		y.limitTrips(stop, 0, max(0, trips-1))
	} else {
		y.limitTrips(stop, trips+1, math.Inf(1))
	}
	y.solve(4000)
	s.adopt(y)
}
