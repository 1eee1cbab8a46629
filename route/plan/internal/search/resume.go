package search

import "context"

// Resume looks for a better plan from one at hand, whose schedules need
// nothing but packs and flows. It never gives back a dearer one. The bound is
// what the caller knows, 0 when nothing.
func Resume(ctx context.Context, m *Model, plan []*Schedule, bound float64, o Options) Result {
	s := newSeason(ctx, m, o)
	for i, n := range m.Needs {
		s.plan[i] = plan[i].clone()
		s.last.recount(n, s.plan[i])
		s.load.add(n, s.plan[i], 1)
	}
	s.bound = bound
	s.tell()
	s.settleDown(9)
	s.improve()
	s.takeBest()
	s.finish()
	return s.result()
}
