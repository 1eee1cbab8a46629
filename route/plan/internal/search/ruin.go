package search

import "sort"

// ruin takes out a group of needs that share room, puts them back another
// way where the others leave room, and keeps what is cheaper.
func (s *season) ruin(group []int, again func([]int, []*Schedule)) bool {
	before := s.total()
	kept := make([]*Schedule, len(group))
	for k, i := range group {
		kept[k] = s.plan[i]
		s.load.add(s.m.Needs[i], s.plan[i], -1)
	}
	again(group, kept)
	for _, i := range group {
		s.replace(i, false)
	}
	if s.total() < before-1e-9*before {
		return true
	}
	for k, i := range group {
		s.load.add(s.m.Needs[i], s.plan[i], -1)
		s.plan[i] = kept[k]
		s.load.add(s.m.Needs[i], s.plan[i], 1)
	}
	return false
}

// remix mixes a group anew, from the schedules of the root and some more.
func (s *season) remix(group []int, kept []*Schedule) {
	prices := newPrices(s.m)
	prices.copyFrom(s.prices)
	if s.root != nil {
		prices.copyFrom(s.root.seeker.prices)
	}
	x := s.roughMixer(group, s.load, prices)
	x.care = groupwise()
	x.seeker.prices.settle()
	for k, i := range group {
		x.add(k, kept[k])
		if s.root != nil {
			for _, c := range s.root.pool[i] {
				x.add(k, c.schedule)
			}
		}
	}
	x.solve(1000)
	x.generate(6, 1e-4)
	if x.dive(s.plan) {
		return
	}
	for k, i := range group {
		s.plan[i] = kept[k]
		s.load.add(s.m.Needs[i], s.plan[i], 1)
	}
}

// reinsert puts the needs of a group back one by one in an order drawn, each
// paying more or less for the room it takes from those after it.
func (s *season) reinsert(group []int, _ []*Schedule) {
	k := s.biased
	scale := [4]float64{0, 0.3, 1, 2}[s.rng.IntN(4)]
	for r, row := range k.prices.Cell {
		for q := range row {
			row[q] = s.prices.Cell[r][q] * scale * (0.5 + s.rng.Float64())
		}
	}
	k.prices.settle()
	for _, at := range s.rng.Perm(len(group)) {
		i := group[at]
		s.plan[i], _ = k.fit(i)
		s.load.add(s.m.Needs[i], s.plan[i], 1)
	}
}

// group draws needs that hold something over the same departure in the same
// room, those that lack most first.
func (s *season) group(size int) []int {
	room, q := s.rng.IntN(len(s.m.Room)), s.rng.IntN(s.m.Legs())
	weight := make([]float64, len(s.m.Needs))
	order := make([]int, len(s.m.Needs))
	for i := range order {
		order[i] = i
		weight[i] = s.rng.Float64() * s.stake(i, room, q)
	}
	sort.SliceStable(order, func(a, b int) bool { return weight[order[a]] > weight[order[b]] })
	group := append([]int(nil), order[:min(size, len(order))]...)
	sort.Ints(group)
	return group
}

// stake says how much a need has to do with a cell.
func (s *season) stake(i, room, q int) float64 {
	n, p := s.m.Needs[i], s.plan[i]
	stake := 0.01
	if p.Missing > 1 {
		stake += 1
	}
	for _, f := range p.Flows {
		if f.Way < 0 {
			continue
		}
		source := &n.Sources[f.Source]
		if source.Stop <= q && q <= f.To && (source.Ways[f.Way].Room == room || room == s.m.Payload()) {
			return stake + 1
		}
	}
	return stake
}

// remould keeps all packs and trips of the plan and mixes anew what is eaten
// and stowed of them, all needs together.
func (s *season) remould() {
	prices := newPrices(s.m)
	prices.copyFrom(s.prices)
	x := s.mixer(s.all, newLoad(s.m), prices)
	for stop := range s.m.TripCost {
		trips := s.m.trips(stop, s.load.kg[stop], s.load.away[stop] > 0)
		x.limitTrips(stop, trips, trips)
	}
	for k, i := range s.all {
		x.add(k, s.plan[i])
	}
	x.solve(4000)
	for k, i := range s.all {
		x.fix(k, s.plan[i])
	}
	s.adopt(x)
}
