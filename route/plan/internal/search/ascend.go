package search

import (
	"math"
	"slices"
)

// ascend climbs to good worths by steps towards a cost that is known to be
// reached, each along a running mean of what is used less what is sold, and
// returns the best bound.
func (h *hull) ascend(target float64, rounds int) float64 {
	best, pace, stale := h.evaluate(), 1.0, 0
	bound := best
	worth, keep := slices.Clone(h.worth), slices.Clone(h.keep)
	for round := 0; round < rounds && target-best > 1e-4*(1+target) && pace > 0.02; round++ {
		h.step(pace * max(target-bound, 1e-3*target))
		bound = h.evaluate()
		if bound > best {
			if bound > best+1e-5*(1+math.Abs(best)) {
				stale = 0
			}
			best = bound
			copy(worth, h.worth)
			copy(keep, h.keep)
		}
		if stale++; stale > 12 {
			pace, stale = pace/2, 0
			copy(h.worth, worth)
			copy(h.keep, keep)
			clear(h.along)
			bound = h.evaluate()
		}
	}
	copy(h.worth, worth)
	copy(h.keep, keep)
	if rounds == 0 {
		return best
	}
	h.spent += 20
	return best + h.gain(max(0, target-best))
}

// start values every segment at what it costs where it is cheapest, with the
// line and trip spread over all that could be carried away, unless worths
// from before are known.
func (h *hull) start(known []float64) {
	if known != nil {
		copy(h.worth, known)
		copy(h.keep, known[len(h.worth):])
		return
	}
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
			price = h.n.UnitPrice(i)
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

// worths are those at hand, of segments and then legs.
func (h *hull) worths() []float64 { return append(slices.Clone(h.worth), h.keep...) }

// step moves the worths along a running mean of what is used less what is
// sold.
func (h *hull) step(length float64) {
	const part = 0.4
	norm := 0.0
	for k := range h.along {
		h.along[k] += part * (h.lack(k) - h.along[k])
		norm += h.along[k] * h.along[k]
	}
	if norm <= 0 {
		return
	}
	for k, d := range h.along {
		if g := len(h.worth); k < g {
			h.worth[k] = min(h.n.Miss, max(0, h.worth[k]+length/norm*d))
		} else {
			h.keep[k-g] = min(h.n.ReserveMiss, max(0, h.keep[k-g]+length/norm*d))
		}
	}
}

// lack is what the k-th segment, or the leg after all segments, uses more
// than it is sold.
func (h *hull) lack(k int) float64 {
	if g := len(h.worth); k >= g {
		return h.n.Due[k-g] - h.kept[k-g]
	}
	return h.n.Segments[k].Amount - h.sold[k]
}
