package search

import "math"

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
