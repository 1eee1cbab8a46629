package search

import (
	"cmp"
	"slices"
)

// consolidate shares out the best plan anew in few pieces: nobody carries
// eleven grams to the freezer when they fit into the fridge. Nothing gets
// dearer by it.
func (s *season) consolidate() {
	for i, n := range s.m.Needs {
		if s.work.cancelled() {
			return
		}
		s.load.add(n, s.plan[i], -1)
		c := &tidier{s.last.allocator, i, n, s.plan[i], s.plan[i].Own() + s.load.more(s.plan[i])}
		c.reorder()
		c.joinWays()
		c.exchange()
		s.plan[i] = c.plan
		s.load.add(n, c.plan, 1)
		s.best.Schedules[i] = c.plan.clone()
	}
	s.best.Trips = s.load.tripsCost()
}

// tidier shares out one need's packs while all others stay.
type tidier struct {
	*allocator
	need int
	n    *Need
	plan *Schedule
	cost float64
}

// piece is what a person has to remember of a schedule: what is stowed where,
// and what is drawn from there when.
type piece struct{ source, way, period int }

func (c *tidier) pieces(s *Schedule) int {
	seen := make([]piece, 0, 2*len(s.Flows))
	for _, f := range s.Flows {
		if f.Way >= 0 {
			seen = append(seen, piece{f.Source, f.Way, -1})
		}
		if f.Segment >= 0 {
			seen = append(seen, piece{f.Source, f.Way, c.n.Segments[f.Segment].Period})
		}
	}
	slices.SortFunc(seen, func(a, b piece) int {
		return cmp.Or(cmp.Compare(a.source, b.source), cmp.Compare(a.way, b.way), cmp.Compare(a.period, b.period))
	})
	return len(slices.Compact(seen))
}

// take keeps a schedule that has fewer pieces and is not dearer.
func (c *tidier) take(s *Schedule) bool {
	cost := s.Own() + c.load.more(s)
	if cost > c.cost+1e-9*(1+c.cost) || c.pieces(s) >= c.pieces(c.plan) || !c.load.fits(c.n, s) {
		return false
	}
	c.plan, c.cost = s, min(cost, c.cost)
	return true
}

// reorder tries the plain orders of sharing out.
func (c *tidier) reorder() {
	for mode := range modes {
		s := c.plan.clone()
		s.Mode = mode
		c.allocate(c.need, s)
		c.take(s)
	}
}

// joinWays puts all of a source into one space instead of two, the smaller
// part to the larger first.
func (c *tidier) joinWays() {
	for i := range c.n.Sources {
		amount := make([]float64, len(c.n.Sources[i].Ways))
		for _, f := range c.plan.Flows {
			if f.Source == i && f.Way >= 0 {
				amount[f.Way] += f.Amount
			}
		}
		var used []int
		for w, x := range amount {
			if x > 0 {
				used = append(used, w)
			}
		}
		slices.SortStableFunc(used, func(a, b int) int { return cmp.Compare(amount[a], amount[b]) })
		for _, from := range used {
			for k := len(used) - 1; k >= 0; k-- {
				if used[k] != from && c.join(i, from, used[k]) {
					break
				}
			}
		}
	}
}

// join moves all of a source from one way to another where that lasts.
func (c *tidier) join(source, from, to int) bool {
	s := c.plan.clone()
	way := c.n.Sources[source].Ways[to]
	for k := range s.Flows {
		f := &s.Flows[k]
		if f.Source != source || f.Way != from {
			continue
		}
		if f.Segment >= 0 && !way.keeps(c.n.Segments[f.Segment].End) {
			return false
		}
		f.Way = to
	}
	s.Flows = melted(s.Flows)
	c.recount(c.n, s)
	return c.take(s)
}

// melted adds up flows of the same kind.
func melted(flows []Flow) []Flow {
	kept := flows[:0]
	for _, f := range flows {
		k := slices.IndexFunc(kept, func(g Flow) bool {
			return g.Source == f.Source && g.Way == f.Way && g.Segment == f.Segment && g.To == f.To
		})
		if k < 0 {
			kept = append(kept, f)
		} else {
			kept[k].Amount += f.Amount
		}
	}
	return kept
}

// exchange gets rid of small draws: what one source gives to a segment
// another gives instead, and gets as much spared elsewhere.
func (c *tidier) exchange() {
	for again := true; again; {
		again = false
		order := make([]int, 0, len(c.plan.Flows))
		for k := range c.plan.Flows {
			if c.plan.Flows[k].Segment >= 0 {
				order = append(order, k)
			}
		}
		slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(c.plan.Flows[a].Amount, c.plan.Flows[b].Amount) })
		for _, k := range order[:min(len(order), 12)] {
			if c.spare(k) {
				again = true
				break
			}
		}
	}
}

// spare exchanges all of one flow against a part of another.
func (c *tidier) spare(k int) bool {
	small := c.plan.Flows[k]
	for h, other := range c.plan.Flows {
		if other.Segment < 0 || other.Source == small.Source || other.Amount < small.Amount || other.Segment == small.Segment ||
			(other.Way < 0) != (small.Way < 0) {
			continue
		}
		there, ok := c.serving(small, other.Segment)
		if !ok {
			continue
		}
		here, ok := c.serving(other, small.Segment)
		if !ok {
			continue
		}
		s := c.plan.clone()
		here.Amount, there.Amount = small.Amount, small.Amount
		s.Flows[h].Amount -= small.Amount
		s.Flows[k].Amount = 0
		s.Flows = melted(append(s.Flows, here, there))
		c.recount(c.n, s)
		if c.take(s) {
			return true
		}
	}
	return false
}

// serving is a flow turned to another segment, if it lasts until then.
func (c *tidier) serving(f Flow, segment int) (Flow, bool) {
	s, g := &c.n.Sources[f.Source], c.n.Segments[segment]
	f.Segment, f.To = segment, lastDeparture(g.Period)
	if f.Way < 0 {
		return f, s.direct(g.Period)
	}
	if s.direct(g.Period) || g.Period < 2*s.Stop || g.Period > s.Last || !s.Ways[f.Way].keeps(g.End) {
		return f, false
	}
	return f, true
}
