package search

import "math"

// enrich adds schedules to a mix in the ways there are, each time the one that made it
// cheapest for its work when last tried, until none makes it much cheaper.
func (s *season) enrich(x *mixer, ways ...func()) {
	const little = 2.5e-8 // of the cost, for a unit of work
	rates := make([]float64, len(ways))
	for w := range rates {
		rates[w] = math.Inf(1)
	}
	for !s.over() {
		most := 0
		for w, rate := range rates {
			if rate > rates[most] {
				most = w
			}
		}
		cost, left := x.lp.Cost(), s.work.Left
		if rates[most] < little*cost {
			return
		}
		ways[most]()
		rates[most] = (cost - x.lp.Cost()) / float64(left-s.work.Left+1)
	}
}
