package search

import (
	"slices"
)

// promise is what a unit of a schedule would gain.
func (ma *master) promise(k int, s *Schedule) float64 {
	cost := s.Own()
	for _, e := range ma.entries(k, s) {
		cost -= ma.lp.Dual(e.Row) * e.Value
	}
	return max(0, -cost)
}

// prices reads the duals of cells and trips.
func (ma *master) prices(p *Prices) {
	for r, cells := range ma.cells {
		for q, row := range cells {
			p.Cell[r][q] = 0
			if row >= 0 {
				p.Cell[r][q] = max(0, -ma.lp.Dual(row))
			}
		}
	}
	for stop, row := range ma.carry {
		p.Kg[stop] = 0
		if row >= 0 {
			p.Kg[stop] = max(0, -ma.lp.Dual(row))
		}
		for k, i := range ma.needs {
			p.Open[i][stop] = 0
			if r := ma.link[k][stop]; r >= 0 {
				p.Open[i][stop] = max(0, -ma.lp.Dual(r))
			}
		}
	}
}

// likely is the schedule with the largest share in the mix, schedules of the
// same packs counted together, and that share.
func (ma *master) likely(k int) (*Schedule, float64) {
	var best *Schedule
	share := 0.0
	for i, c := range ma.pool[k] {
		if ma.lp.Value(c.column) <= 0 {
			continue
		}
		sum := 0.0
		for _, d := range ma.pool[k][i:] {
			if c.schedule.samePacks(d.schedule) {
				sum += ma.lp.Value(d.column)
			}
		}
		if sum > share {
			best, share = c.schedule, sum
		}
	}
	return best, share
}

// inMix are the schedules of a need with a part worth mentioning in the mix,
// one for the same packs.
func (ma *master) inMix(k int) (list []*Schedule) {
	const mention = 0.05
	for _, c := range ma.pool[k] {
		if ma.lp.Value(c.column) > mention && !slices.ContainsFunc(list, c.schedule.samePacks) {
			list = append(list, c.schedule)
		}
	}
	return list
}

func (s *Schedule) samePacks(t *Schedule) bool { return slices.Equal(s.Packs, t.Packs) }

// blended is the k-th need's share of the mix as one schedule: a plan when
// all its packs are the same, which they are once it is settled.
func (ma *master) blended(k int) *Schedule {
	n := ma.m.Needs[ma.needs[k]]
	s := newSchedule(ma.m, n)
	if ma.chosen[k] != nil {
		copy(s.Packs, ma.chosen[k].Packs)
	}
	at := map[Flow]int{}
	total := 0.0
	for _, c := range ma.pool[k] {
		total += ma.lp.Value(c.column)
	}
	for _, c := range ma.pool[k] {
		share := ma.lp.Value(c.column) / max(total, 1) // rounding may leave more than a whole
		if share <= 1e-9 || ma.chosen[k] != nil && !c.schedule.samePacks(ma.chosen[k]) {
			continue
		}
		s.Mode = c.schedule.Mode
		copy(s.Stay, c.schedule.Stay)
		for _, f := range c.schedule.Flows {
			key := f
			key.Amount = 0
			if _, ok := at[key]; !ok {
				at[key] = len(s.Flows)
				s.Flows = append(s.Flows, key)
			}
			s.Flows[at[key]].Amount += share * f.Amount
		}
	}
	return s
}
