package search

import (
	"cmp"
	"slices"
)

// round makes the plan at hand of what the mix likes best: need after need its
// likeliest schedule, the surest first, or what fits at the mix's prices where
// that costs less.
func (s *season) round(x *mixer) {
	order, shares := slices.Clone(s.all), make([]float64, len(s.all))
	likely := make([]*Schedule, len(s.all))
	for k, i := range x.needs {
		likely[i], shares[i] = x.likely(k)
		s.load.add(s.m.Needs[i], s.plan[i], -1)
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(shares[b], shares[a]) })
	copyInto(s.biased.prices.Cell, x.seeker.prices.Cell)
	s.biased.prices.settle()
	for _, i := range order {
		schedule, value := s.biased.fit(i)
		if likely[i] != nil {
			t := likely[i].clone()
			if v := s.biased.value(i, t); v < value {
				schedule = t
			}
		}
		s.plan[i] = schedule
		s.load.add(s.m.Needs[i], schedule, 1)
	}
	s.tell()
}
