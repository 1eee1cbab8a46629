package search

import (
	"context"
	"math"
	"slices"
)

// Among picks for every need one of its schedules in some plans, so that together they
// cost least; for needs that are not free the one in the first plan. It is one of the
// plans where no mix is found that costs less. The schedules are counted anew.
func Among(ctx context.Context, m *Model, plans [][]*Schedule, free []bool) []*Schedule {
	needs, pool := make([]int, len(m.Needs)), make([][]mixed, len(m.Needs))
	for i := range needs {
		needs[i] = i
	}
	var best []*Schedule
	least := math.Inf(1)
	for k, p := range plans {
		h := Hold(m, p)
		if cost := total(h.load, h.plan); cost < least && (k == 0 || !slices.Contains(free, false)) {
			best, least = h.plan, cost
		}
		for i, s := range h.plan {
			if k == 0 || free[i] {
				pool[i] = append(pool[i], mixed{schedule: s})
			}
		}
	}
	p := newPicker(m, needs, newLoad(m), pool, least, &Work{math.MaxInt32, ctx})
	if p.run(mostAmong) {
		best = p.best
	}
	return best
}

// mostAmong is how many forks are looked at.
const mostAmong = 200
