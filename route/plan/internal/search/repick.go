package search

import (
	"cmp"
	"slices"
)

const (
	mostPickable = 30 // schedules of a need that may be picked
	mostLately   = 12 // schedules of a need that plans had lately
	mostForks    = 60 // looked at for a group
)

// repick picks for a group among the schedules of the root, those that plans
// had lately and those taken out.
func (s *season) repick(group []int, kept []*Schedule) {
	below := -s.load.tripsCost()
	pool := make([][]mixed, len(group))
	load := newLoad(s.m)
	load.copyFrom(s.load)
	for k, i := range group {
		pool[k] = s.pickable(i, kept[k])
		load.add(s.m.Needs[i], kept[k], 1)
		below += kept[k].Own()
	}
	below += load.tripsCost()
	p := newPicker(s.m, group, s.load, pool, below, s.work)
	found := kept
	if p.run(mostForks) {
		found = p.best
	}
	for k, i := range group {
		s.plan[i] = found[k]
		s.load.add(s.m.Needs[i], found[k], 1)
	}
}

// pickable lists schedules of a need, those of the root that are least dear at
// its prices.
func (s *season) pickable(i int, now *Schedule) []mixed {
	list := []mixed{{schedule: now, used: true}}
	for _, t := range s.lately[i] {
		list = append(list, mixed{schedule: t})
	}
	if s.root == nil {
		return list
	}
	rest := slices.Clone(s.root.pool[i])
	slices.SortStableFunc(rest, func(a, b mixed) int { return cmp.Compare(a.over, b.over) })
	for _, c := range rest[:min(len(rest), mostPickable)] {
		list = append(list, mixed{schedule: c.schedule})
	}
	return list
}

// remember keeps a schedule in mind.
func (s *season) remember(i int, t *Schedule) {
	list := s.lately[i]
	if len(list) >= mostLately {
		list = list[1:]
	}
	s.lately[i] = append(slices.Clone(list), t)
}
