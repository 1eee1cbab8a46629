package search

import "math"

// lower bounds the cost of every plan from below: what each need costs at
// least when it pays the prices of cells and trips, less what all the room is
// worth. least holds, per need, a cost that some schedule reaches.
func (s *season) lower(p *Prices, least []float64) float64 {
	bound := 0.0
	for i := range s.m.Needs {
		b := newHull(s.m, p, i).ascend(least[i], s.m.Needs[i].nothing())
		if s.o.Trace != nil && least[i]-b > 5 {
			s.o.Trace("need %d: %.2f found %.2f", i, b, least[i])
		}
		bound += b
	}
	for r, row := range p.Cell {
		for _, price := range row {
			if price > 0 {
				bound -= price * s.m.Room[r]
			}
		}
	}
	return bound
}

// ascend climbs to good worths by steps towards a cost that is known to be
// reached, and returns the best bound.
func (h *hull) ascend(target, nothing float64) float64 {
	h.start()
	best, pace, stale := math.Inf(-1), 1.0, 0
	worth, keep := make([]float64, len(h.worth)), make([]float64, len(h.keep))
	for round := 0; round < 150; round++ {
		bound := h.evaluate()
		if round == 0 || bound > best+1e-6*(1+math.Abs(best)) {
			best, stale = bound, 0
			copy(worth, h.worth)
			copy(keep, h.keep)
		} else if stale++; stale > 8 {
			pace, stale = pace/2, 0
			copy(h.worth, worth)
			copy(h.keep, keep)
			bound = h.evaluate()
		}
		if target-best < 1e-4*(1+target) || pace < 1e-2 {
			break
		}
		h.step(pace * max(target-bound, 1e-3*target))
	}
	copy(h.worth, worth)
	copy(h.keep, keep)
	return best + h.gain(max(0, target-best))
}

// start values every segment at what it costs where it is cheapest, with the
// line and trip spread over all that could be carried away.
func (h *hull) start() {
	for g := range h.worth {
		h.worth[g] = h.n.Miss
	}
	for i := range h.sources {
		o := &h.sources[i]
		total := 0.0
		for _, u := range o.uses {
			if u.segment >= 0 && u.way >= 0 {
				total += h.n.Segments[u.segment].Amount
			}
		}
		price := 0.0
		if o.source.Aboard < 0 {
			price = h.n.unitPrice(i)
		}
		for _, u := range o.uses {
			if u.segment < 0 {
				continue
			}
			cost := price + u.cost
			if u.way >= 0 && total > 0 {
				cost += 2 * o.fixed / total
			}
			h.worth[u.segment] = min(h.worth[u.segment], cost)
		}
	}
}

// step moves the worths along what is used less what is sold.
func (h *hull) step(length float64) {
	norm := 0.0
	for g, segment := range h.n.Segments {
		d := segment.Amount - h.sold[g]
		norm += d * d
	}
	for leg, due := range h.n.Due {
		d := due - h.kept[leg]
		norm += d * d
	}
	if norm <= 0 {
		return
	}
	for g, segment := range h.n.Segments {
		h.worth[g] = min(h.n.Miss, max(0, h.worth[g]+length/norm*(segment.Amount-h.sold[g])))
	}
	for leg, due := range h.n.Due {
		h.keep[leg] = min(h.n.ReserveMiss, max(0, h.keep[leg]+length/norm*(due-h.kept[leg])))
	}
}
