package search

import (
	"context"
	"math"
)

// Among picks for every need one of its schedules in some plans, so that together they
// cost least. It is one of the plans where no mix is found that costs less. The schedules
// are counted anew.
func Among(ctx context.Context, m *Model, plans [][]*Schedule) []*Schedule {
	needs, pool := make([]int, len(m.Needs)), make([][]mixed, len(m.Needs))
	for i := range needs {
		needs[i] = i
	}
	var best []*Schedule
	least := math.Inf(1)
	for _, p := range plans {
		h := Hold(m, p)
		if cost := total(h.load, h.plan); cost < least {
			best, least = h.plan, cost
		}
		for i, s := range h.plan {
			pool[i] = append(pool[i], mixed{schedule: s})
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
