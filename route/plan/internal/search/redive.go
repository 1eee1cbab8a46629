package search

import "math"

// redive dives from the schedules of the root once more, by other needs first or
// with other trips at a stop.
func (s *season) redive() {
	if s.root == nil {
		return
	}
	y := s.root.copy(s, true)
	y.care = carefully()
	y.dice = s.rng
	y.solve(4000)
	if stop, trips := s.otherTrips(y); stop >= 0 && s.rng.IntN(2) == 0 {
		y.limitTrips(stop, trips, trips)
		y.solve(4000)
		y.generate(5, 1e-4) // what there is has other trips in mind
	}
	if y.lp.Cost() < s.best.Total() {
		s.adopt(y)
	}
}

// otherTrips draws a stop and a number of trips there that is not the plan's: one more
// or less, or next to what the mix makes, the nearer to that the likelier. The stop is
// below 0 where trips cost nothing.
func (s *season) otherTrips(y *mixer) (stop int, trips float64) {
	const near = 0.1
	var list []tripsTried
	sum := 0.0
	for stop := range y.options {
		if y.none[stop] < 0 {
			continue
		}
		mixed, now := y.tripsAt(stop), s.m.trips(stop, s.load.kg[stop], s.load.away[stop] > 0)
		for trips := max(0, math.Floor(min(mixed, now-1))); trips <= math.Ceil(max(mixed, now+1)); trips++ {
			if trips != now && (math.Abs(trips-now) == 1 || math.Abs(trips-mixed) < 1) && trips <= s.m.mostTrips(stop) {
				list = append(list, tripsTried{stop, trips, 1 / (near + math.Abs(trips-mixed))})
				sum += list[len(list)-1].off
			}
		}
	}
	at := s.rng.Float64() * sum
	for _, t := range list {
		if at -= t.off; at <= 0 {
			return t.stop, t.trips
		}
	}
	return -1, 0
}
