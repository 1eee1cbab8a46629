package search

import "context"

// Resume looks for a better plan from one at hand, whose schedules need
// nothing but packs and flows. It never gives back a dearer one. The bound is
// what the caller knows, 0 when nothing.
func Resume(ctx context.Context, m *Model, plan []*Schedule, bound float64, o Options) Result {
	s := newSeason(ctx, m, o)
	s.plan = s.counted(plan)
	for i, n := range m.Needs {
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

// counted is a plan of its own of which all is known that follows from packs and flows.
func (s *season) counted(plan []*Schedule) []*Schedule {
	own := make([]*Schedule, len(plan))
	for i, n := range s.m.Needs {
		own[i] = plan[i].clone()
		s.last.recount(n, own[i])
	}
	return own
}

// start takes over a plan to start from that is cheaper than the one at hand, and leaves
// the mixer the schedules of all.
func (s *season) start(x *mixer) {
	for _, plan := range s.o.From {
		plan = s.counted(plan)
		for i, schedule := range plan {
			x.add(i, schedule.clone())
		}
		load := newLoad(s.m)
		for i, n := range s.m.Needs {
			load.add(n, plan[i], 1)
		}
		if total(load, plan) < s.total() {
			s.take(plan)
		}
	}
}
