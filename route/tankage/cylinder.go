package tankage

import (
	"math"
	"slices"

	"hardtack/pricing/calendar"
	"hardtack/route/inventory/usage"
	"hardtack/route/logbook"
	"hardtack/route/vessel"
)

// alike is how far the content told of a cylinder may be from that of the book
// for it to be the same one, as a share.
const alike = 0.25

// Swap is the cylinders after the first, which was in use, came off empty and
// one with so many kilograms in it was put on: that of the book with about as
// much in it, else the empty one was given for another. It changes nothing it
// is given.
func Swap(cylinders []vessel.Cylinder, kg float64) []vessel.Cylinder {
	out := slices.Clone(cylinders)
	if len(out) == 0 {
		return out
	}
	out[0].Full = 0
	best := -1
	for k, c := range out[1:] {
		off := math.Abs(c.Kg*c.Full - kg)
		if off <= alike*kg && (best < 0 || off < math.Abs(out[best].Kg*out[best].Full-kg)) {
			best = k + 1
		}
	}
	if best < 0 {
		out[0] = holding(out[0], kg)
		return out
	}
	on := holding(out[best], kg)
	return append([]vessel.Cylinder{on}, slices.Delete(out, best, best+1)...)
}

// holding is a cylinder with so much in it, one as large as that if it is too
// small.
func holding(c vessel.Cylinder, kg float64) vessel.Cylinder {
	c.Kg = max(c.Kg, kg)
	c.Full = kg / c.Kg
	return c
}

// Fill is the cylinders after so many kilograms were filled into them, those
// not in use first, the emptiest of them first. What they do not hold is not
// believed. It changes nothing it is given.
func Fill(cylinders []vessel.Cylinder, kg float64) []vessel.Cylinder {
	out := slices.Clone(cylinders)
	order := make([]int, len(out))
	for k := range order {
		order[k] = len(out) - 1 - k // the one in use last
	}
	slices.SortStableFunc(order, func(a, b int) int {
		switch {
		case a == 0:
			return 1
		case b == 0:
			return -1
		case out[a].Full < out[b].Full:
			return -1
		case out[a].Full > out[b].Full:
			return 1
		}
		return a - b
	})
	for _, k := range order {
		c := &out[k]
		in := min(kg, c.Kg*(1-c.Full))
		c.Full = min(1, c.Full+in/c.Kg)
		kg -= in
	}
	return out
}

// Now is the cylinders on a day: of the one in use, as long as the book has it
// as full as it was put on, what is usually burnt since then is taken off. It
// changes nothing it is given.
func Now(cylinders []vessel.Cylinder, log []logbook.Entry, heads Heads, today calendar.Day, b usage.Belief) []vessel.Cylinder {
	out := slices.Clone(cylinders)
	swaps := logbook.Between(log, 0, today, logbook.GasSwap)
	if len(swaps) == 0 || len(out) == 0 {
		return out
	}
	last, inUse := swaps[len(swaps)-1], out[0].Kg*out[0].Full
	if math.Abs(inUse-last.Amount) > 1e-6 {
		return out // somebody has weighed it since
	}
	days := heads(last.Day, today) + logbook.Sum(log, last.Day+1, today, logbook.Guests)
	out[0].Full = max(0, inUse-b.Mean()*days) / out[0].Kg
	return out
}
