package search

import "math"

// rival is the cost of another schedule: one that costs more is of no use.
type rival struct {
	cost float64
	fees []float64 // per stop: what carrying anything away costs at least
}

// sure is by how much, as a part, what a schedule costs at least must be above
// a rival, so that rounding cannot be what lifts it there.
const sure = 1e-9

// floor is what the segments of a need cost at least, whatever the room and the
// order in which what was bought is shared out: every segment is served by what
// is cheapest for it, but all of them by no more than there is.
type floor struct {
	used    []float64 // per segment: what those before it use
	least   []float64 // per segment: what a unit costs
	before  []float64 // per segment: what those before it cost
	served  []float64 // per segment: what those before it use that anything serves
	saved   float64   // what a unit of it costs less than going without, at least
	bounded []bounded
}

// bounded is a source that serves segments from one to before another.
type bounded struct{ source, from, till int32 }

func newFloor(segments int) floor {
	return floor{least: make([]float64, segments), before: make([]float64, segments+1), served: make([]float64, segments+1)}
}

// over says whether what is bought costs more than a rival however it is
// shared out, and sets the floor for it.
func (a *allocator) over(n *Need, s *Schedule, most rival) bool {
	f, segments := &a.floor, len(n.Segments)
	f.used, f.bounded = n.lay.used, f.bounded[:0]
	least := f.least[:segments]
	for g := range least {
		least[g] = n.Miss
	}
	for _, i := range a.turn {
		x, source := &n.lay.spans[i], &n.Sources[i]
		from, till := x.from, x.till
		if source.Aboard < 0 && s.Stay[source.Stop] {
			till = x.stay
		}
		if from >= till {
			continue
		}
		f.bounded = append(f.bounded, bounded{i, from, till})
		cheapest := least[from:till]
		for g, unit := range a.charges.unit[int(i)*segments+int(from):][:len(cheapest)] {
			if unit < cheapest[g] {
				cheapest[g] = unit
			}
		}
	}
	f.sum(n, least)
	return s.Goods+f.before[segments]+f.short(a.left, 0, segments) > certain(most.cost)
}

// sum adds up what the segments cost at least.
func (f *floor) sum(n *Need, least []float64) {
	cost, served := 0.0, 0.0
	f.saved = n.Miss
	for g, unit := range least {
		f.before[g], f.served[g] = cost, served
		amount := n.Segments[g].Amount
		cost += amount * unit
		if saved := n.Miss - unit; saved > 0 {
			served += amount
			if saved < f.saved {
				f.saved = saved
			}
		}
	}
	f.before[len(least)], f.served[len(least)] = cost, served
}

// certain is what exceeds a cost for certain.
func certain(cost float64) float64 { return cost + sure*(1+math.Abs(cost)) }

// above says whether a cost is sure to come to more than so much once the
// segments from one to before another are served with what is left.
func (f *floor) above(most, cost float64, left []float64, from, till int) bool {
	most, cost = certain(most), cost+f.before[till]-f.before[from]
	if (till-from)%often > 0 {
		return cost > most
	}
	return cost+f.short(left, from, till) > most
}

// often is after how many segments it is counted anew what is left, which takes
// long.
const often = 3

// short is what it costs at least that less is left than segments use.
func (f *floor) short(left []float64, from, till int) float64 {
	lacking := f.served[till] - f.served[from]
	for _, x := range f.bounded {
		if from, till := max(int(x.from), from), min(int(x.till), till); from < till {
			use := f.used[till] - f.used[from]
			if most := left[x.source]; most < use {
				use = most
			}
			lacking -= use
		}
	}
	return max(0, lacking) * f.saved
}
