package search

import (
	"cmp"
	"math"
	"slices"
)

// Sources alone forget that what they sell together is no more than what is
// used: each may round its packs as it likes. Walking along the route with
// the sum of all that was bought brings part of that back. A tally is a walk
// up to a moment: what is over, what the walk lost against every source's
// best, and the least that throwing a unit away loses.
type tally struct{ over, lost, waste float64 }

// choice is one way to buy from an outlet.
type choice = tally

const mostTallies = 40

// throw away what is over a limit.
func (t *tally) throw(most float64) {
	if t.over > most {
		t.lost += (t.over - most) * t.waste
		t.over = most
	}
}

// choice is what selling all of a supply leaves, sums being those without
// what is only held for the reserve and all those with it.
func (h *hull) choice(all []sum, supply, spent, keep float64) choice {
	slope := h.slope(supply)
	if slope >= keep {
		waste := slope - keep
		if supply == 0 {
			waste = math.Inf(1)
		}
		return choice{supply, spent - h.earns(supply), waste}
	}
	sums := h.sums
	h.sums = all
	c := choice{supply, spent - h.earns(supply), 0}
	h.sums = sums
	return c
}

// spread takes every walk on by every choice.
func spread(walks []tally, choices []choice, margin float64) []tally {
	next := make([]tally, 0, len(walks)*len(choices))
	for _, w := range walks {
		for _, c := range choices {
			if lost := w.lost + c.lost; lost <= margin {
				next = append(next, tally{w.over + c.over, lost, min(w.waste, c.waste)})
			}
		}
	}
	return thin(next, margin)
}

// thin drops walks that others leave behind, and melts neighbours into one
// that is better than both when there are too many.
func thin(walks []tally, margin float64) []tally {
	slices.SortFunc(walks, func(a, b tally) int {
		switch {
		case a.over != b.over:
			return cmp.Compare(b.over, a.over)
		case a.lost != b.lost:
			return cmp.Compare(a.lost, b.lost)
		}
		return cmp.Compare(a.waste, b.waste)
	})
	kept := walks[:0]
	for _, w := range walks {
		if w.lost <= margin && !left(kept, w) {
			kept = append(kept, w)
		}
	}
	for near := 1e-6; len(kept) > mostTallies; near *= 4 {
		kept = melt(kept, near)
	}
	return kept
}

func left(kept []tally, w tally) bool {
	for k := len(kept) - 1; k >= 0; k-- {
		a := kept[k]
		waste := 0.0
		if a.over > w.over {
			waste = (a.over - w.over) * a.waste
		}
		if a.waste <= w.waste && a.lost+waste <= w.lost {
			return true
		}
	}
	return false
}

func melt(walks []tally, near float64) []tally {
	kept := walks[:0]
	for _, w := range walks {
		if last := len(kept) - 1; last >= 0 && kept[last].over-w.over < near {
			k := &kept[last]
			k.waste = min(k.waste, w.waste)
			if more := k.over - w.over; more > 0 {
				w.lost -= more * k.waste // so much may be thrown away later
			}
			k.lost = min(k.lost, w.lost)
			continue
		}
		kept = append(kept, w)
	}
	return kept
}
