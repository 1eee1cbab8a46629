package search

import (
	"math"
)

// lower bounds the cost of every plan with trips between the mixer's limits
// from below: what each need costs at least when it pays the mixer's prices
// of cells and trips, less what all the room is worth.
func (s *season) lower(x *mixer, rounds int) float64 {
	if s.work.cancelled() && s.bound > 0 {
		return s.bound
	}
	p := newPrices(s.m)
	p.copyFrom(x.seeker.prices)
	bound := 0.0
	for stop := range s.m.TripCost {
		bound += x.tripTerm(p, stop)
	}
	for r, row := range p.Cell {
		for _, price := range row {
			if price > 0 {
				bound -= price * s.m.Room[r]
			}
		}
	}
	if s.over() {
		rounds = 0
	}
	least := x.least()
	for i := range s.m.Needs {
		own := math.Inf(-1)
		if c := s.chains[i]; c != nil && !s.work.cancelled() {
			own = c.bound(p, i)
			s.work.Left -= c.effort()
		}
		if s.over() {
			rounds = 0
		}
		if own < least[i]*(1-enough) || s.worth[i] == nil {
			own = max(own, s.hullBound(p, i, least[i], rounds))
		}
		bound += own
	}
	return bound - 1e-9*math.Abs(bound)
}

// enough is how near, as a part, a chain's bound must come to a known cost
// for a hull not to be asked too.
const enough = 1e-3

// hullBound is what a need costs at least by its hull.
func (s *season) hullBound(p *Prices, i int, target float64, rounds int) float64 {
	h := newHull(s.m, p, i)
	h.start(s.worth[i])
	bound := h.ascend(target, rounds)
	s.worth[i] = h.worths()
	s.work.Left -= h.spent * 2
	return bound
}

// tripTerm is the least that trips at a stop cost beyond what the needs pay
// for them. Where there is no limit to trips, needs may not pay more than
// they cost, so prices that rounding has left too high are lowered.
func (x *mixer) tripTerm(p *Prices, stop int) float64 {
	paid := 0.0
	if p.Kg[stop] > 0 {
		paid = p.Kg[stop] * x.seeker.m.Carry[stop]
	}
	for i := range p.Open {
		paid += p.Open[i][stop]
	}
	cost := x.seeker.m.TripCost[stop]
	low, high := x.low[stop], x.high[stop]
	if paid <= cost {
		return (cost - paid) * low
	}
	if !math.IsInf(high, 1) {
		return (cost - paid) * high
	}
	part := cost / paid * (1 - 1e-12)
	p.Kg[stop] *= part
	for i := range p.Open {
		p.Open[i][stop] *= part
	}
	return 0
}

// raise moves the prices of cells towards where the bound is highest, by steps
// along what the hulls of all needs take up less the room there is, and
// returns the best bound. The mix alone cannot find those prices: a schedule
// in it never takes more room than there is, while a hull does.
func (s *season) raise(x *mixer, bound float64, rounds int) float64 {
	p := newPrices(s.m)
	p.copyFrom(x.seeker.prices)
	best, pace, stale := bound, 1.0, 0
	for round := 0; round < rounds && pace > 0.05 && best < s.best.Total()*(1-1e-6) && !s.over(); round++ {
		takes := s.takes(p)
		norm := 0.0
		for r, row := range takes {
			for q := range row {
				row[q] -= s.m.Room[r]
				if math.IsInf(row[q], 0) || row[q] < 0 && p.Cell[r][q] == 0 {
					row[q] = 0
				}
				norm += row[q] * row[q]
			}
		}
		if norm < 1e-9 {
			break
		}
		length := pace * max(s.best.Total()-bound, 1e-3*best) / norm
		for r, row := range takes {
			for q, over := range row {
				p.Cell[r][q] = max(0, p.Cell[r][q]+length*over)
			}
		}
		p.settle()
		old := x.seeker.prices
		x.seeker.prices = p
		bound = s.lower(x, 25)
		x.seeker.prices = old
		if bound > best {
			best, stale = bound, 0
			old.copyFrom(p)
		} else if stale++; stale > 3 {
			pace, stale = pace/2, 0
			p.copyFrom(old)
			bound = best
		}
	}
	return best
}

// takes is what the hulls of all needs take up at their last worths.
func (s *season) takes(p *Prices) [][]float64 {
	takes := newPrices(s.m).Cell
	for i := range s.m.Needs {
		h := newHull(s.m, p, i)
		h.takes = newPrices(s.m).Cell
		h.start(s.worth[i])
		h.evaluate()
		for r, row := range h.takes {
			for q, v := range row {
				takes[r][q] += v
			}
		}
	}
	return takes
}

// take counts the room that a sale takes up.
func (h *hull) take(s *Source, u *use, amount float64) {
	if h.takes == nil {
		return
	}
	w := s.Ways[u.way]
	for q := s.Stop; q <= u.to; q++ {
		h.takes[w.Room][q] += amount * w.Litres
		h.takes[h.m.Payload()][q] += amount * s.Kg
	}
}
