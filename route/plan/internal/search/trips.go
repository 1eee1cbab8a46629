package search

import (
	"math"
	"slices"

	"hardtack/route/plan/internal/simplex"
)

// tripRows adds, for each stop where a trip costs anything, rows for what its
// trips carry, for that there is a trip at all, and for how many there are.
func (ma *master) tripRows(row func(cost, limit float64) int) {
	ma.carry, ma.none, ma.link = nil, nil, make([][]int, len(ma.needs))
	for stop, carry := range ma.m.Carry {
		ma.carry, ma.none = append(ma.carry, -1), append(ma.none, -1)
		if ma.m.TripCost[stop] > 0 && !math.IsInf(carry, 1) {
			ma.carry[stop] = row(0, ma.m.trips(stop, ma.load.kg[stop], ma.load.away[stop] > 0)*carry-ma.load.kg[stop])
		}
		for k, i := range ma.needs {
			ma.link[k] = append(ma.link[k], -1)
			if n := ma.m.Needs[i]; ma.linked(stop) && n.soldAt(stop) > 0 || ma.untouched(stop) && n.weightless(stop) {
				ma.link[k][stop] = row(0, 0)
			}
		}
		if ma.linked(stop) || ma.carry[stop] >= 0 {
			ma.none[stop] = row(0, 1)
		}
	}
}

// linked says whether a stop has rows for that there is a trip at all: where
// none is made yet, and nothing else would pay for it, since it carries without
// limit, or the stop is tied.
func (ma *master) linked(stop int) bool {
	return ma.untouched(stop) && (ma.tied[stop] || math.IsInf(ma.m.Carry[stop], 1))
}

// untouched says whether trips at a stop cost something and none is made yet.
func (ma *master) untouched(stop int) bool {
	return ma.m.TripCost[stop] > 0 && ma.load.away[stop] == 0 && stop < ma.m.Legs()
}

// weightless says whether something without weight is sold at a stop to be carried
// away, so that no trip paid by weight pays for it.
func (n *Need) weightless(stop int) bool {
	return slices.ContainsFunc(n.Sources, func(s Source) bool {
		return s.Stop == stop && s.Aboard < 0 && s.Kg == 0 && len(s.Ways) > 0
	})
}

// tie ties the stops at which the mix makes less than one trip, though whoever
// carries anything away needs a whole one, or one that is not full and paid for by
// what has no weight, and says whether there are any. The master is built anew then.
func (ma *master) tie() bool {
	const hair = 1e-6
	found := false
	for stop := range ma.options {
		if trips := ma.tripsAt(stop); !ma.tied[stop] && ma.carry[stop] >= 0 && trips > hair && trips < 1+hair && ma.carried(stop) < (1-hair)*ma.m.Carry[stop] {
			ma.tied[stop], found = true, true
		}
	}
	if found {
		ma.look()
		ma.build()
	}
	return found
}

// carried is what the mix carries away from a stop, in kg.
func (ma *master) carried(stop int) float64 {
	kg := 0.0
	for _, pool := range ma.pool {
		for _, c := range pool {
			kg += ma.lp.Value(c.column) * c.schedule.Kg[stop]
		}
	}
	return kg
}

// tripColumns adds a column for each number of trips at a stop beyond those of
// the load, of which the mix chooses one or none.
func (ma *master) tripColumns() {
	ma.options = nil
	for stop := range ma.m.Carry {
		ma.options = append(ma.options, nil)
		if ma.none[stop] < 0 {
			continue
		}
		most := ma.m.mostTrips(stop)
		for trips := 1.0; trips <= most; trips++ {
			entries := []simplex.Entry{{Row: ma.none[stop], Value: 1}}
			if ma.carry[stop] >= 0 {
				entries = append(entries, simplex.Entry{Row: ma.carry[stop], Value: -ma.m.Carry[stop] * trips})
			}
			for k := range ma.needs {
				if r := ma.link[k][stop]; r >= 0 {
					entries = append(entries, simplex.Entry{Row: r, Value: -1})
				}
			}
			ma.options[stop] = append(ma.options[stop], ma.lp.Add(trips*ma.m.TripCost[stop], entries))
		}
		ma.allowTrips(stop, ma.low[stop], ma.high[stop])
	}
}

// mostTrips is how many trips carry all that a stop may be asked for, at most
// a number no crew makes.
func (m *Model) mostTrips(stop int) float64 {
	const most = 300
	kg := 0.0
	for _, n := range m.Needs {
		heaviest := 0.0
		for i := range n.Sources {
			if s := &n.Sources[i]; s.Stop == stop && s.Aboard < 0 {
				heaviest = max(heaviest, s.Kg)
			}
		}
		kg += heaviest * n.total()
	}
	return min(most, m.trips(stop, min(kg, m.Room[m.Payload()]), true))
}

// total is all that is used of a need, and the largest reserve.
func (n *Need) total() float64 {
	total, most := 0.0, 0.0
	for _, g := range n.Segments {
		total += g.Amount
	}
	for _, due := range n.Due {
		most = max(most, due)
	}
	return total + most
}

// allowTrips rules out fewer and more trips at a stop than between two numbers.
func (ma *master) allowTrips(stop int, low, high float64) { ma.allowTripsIn(ma.lp, stop, low, high) }

// allowTripsIn does so in an LP that stands for the mix.
func (ma *master) allowTripsIn(lp *simplex.LP, stop int, low, high float64) {
	if ma.none[stop] < 0 {
		return
	}
	lp.Rule(ma.none[stop], low > 0)
	for t, column := range ma.options[stop] {
		lp.Rule(column, float64(t+1) < low || float64(t+1) > high)
	}
}

// tripsAt is how many trips beyond those of the load the mix makes at a stop.
func (ma *master) tripsAt(stop int) float64 {
	trips := 0.0
	for t, column := range ma.options[stop] {
		trips += float64(t+1) * ma.lp.Value(column)
	}
	return trips
}
