package search

import (
	"math"

	"hardtack/route/plan/internal/simplex"
)

// mostLinks is how many link rows a master has at most.
const mostLinks = 130

// shut says whether a schedule carries something away where no trip may be
// made.
func (ma *master) shut(s *Schedule) bool {
	for stop, away := range s.Away {
		if away && ma.high[stop] == 0 && ma.load.away[stop] == 0 {
			return true
		}
	}
	return false
}

// tripRows adds the rows that trips have a part in, and returns those that
// hold them below high.
func (ma *master) tripRows(row func(cost, limit float64) int) (bounds []int) {
	ma.carry, ma.none, ma.link = nil, nil, make([][]int, len(ma.needs))
	ma.linked = ma.links()
	for stop, carry := range ma.m.Carry {
		ma.carry, bounds = append(ma.carry, -1), append(bounds, -1)
		if ma.m.TripCost[stop] > 0 && !math.IsInf(carry, 1) {
			paid := ma.m.trips(stop, ma.load.kg[stop], ma.load.away[stop] > 0)*carry - ma.load.kg[stop]
			ma.carry[stop] = row(0, paid+ma.low[stop]*carry)
		}
		for k := range ma.needs {
			ma.link[k] = append(ma.link[k], -1)
			if ma.linked[stop] && ma.m.Needs[ma.needs[k]].soldAt(stop) > 0 && (!ma.whole || ma.mayCarry(k, stop)) {
				ma.link[k][stop] = row(0, 0)
			}
		}
		ma.none = append(ma.none, -1)
		if ma.whole && ma.high[stop] > ma.low[stop] {
			ma.none[stop] = row(0, 1)
		} else if !ma.whole && ma.high[stop] > ma.low[stop] && !math.IsInf(ma.high[stop], 1) {
			bounds[stop] = row(0, ma.high[stop]-ma.low[stop])
		}
	}
	return bounds
}

// links says which stops have link rows: where no trip is made yet, those
// without a limit on what it carries first.
func (ma *master) links() []bool {
	links, count := make([]bool, ma.m.Stops), 0
	if ma.plain {
		return links
	}
	for _, limited := range []bool{false, true} {
		for stop, carry := range ma.m.Carry {
			if limited == math.IsInf(carry, 1) || ma.m.TripCost[stop] == 0 || ma.load.away[stop] > 0 || ma.low[stop] > 0 ||
				ma.high[stop] == 0 || stop == ma.m.Legs() || !ma.whole && limited && count+len(ma.needs) > mostLinks || ma.whole && limited {
				continue
			}
			links[stop] = true
			count += len(ma.needs)
		}
	}
	return links
}

func (ma *master) tripColumns(bounds []int) {
	ma.trips = nil
	for stop := range ma.m.Carry {
		var entries []simplex.Entry
		if ma.carry[stop] >= 0 {
			entries = append(entries, simplex.Entry{Row: ma.carry[stop], Value: -ma.m.Carry[stop]})
		}
		for k := range ma.needs {
			if r := ma.link[k][stop]; r >= 0 {
				entries = append(entries, simplex.Entry{Row: r, Value: -1})
			}
		}
		if bounds[stop] >= 0 {
			entries = append(entries, simplex.Entry{Row: bounds[stop], Value: 1})
		}
		ma.trips = append(ma.trips, -1)
		if ma.whole {
			ma.options = append(ma.options, ma.tripOptions(stop, entries))
			continue
		}
		if len(entries) > 0 && ma.high[stop] > ma.low[stop] {
			ma.trips[stop] = ma.lp.Add(ma.m.TripCost[stop], entries)
		}
	}
}

// tripOptions are columns of one, two and more trips at a stop, of which one is
// chosen or none.
func (ma *master) tripOptions(stop int, entries []simplex.Entry) (columns []int) {
	if ma.none[stop] < 0 || len(entries) == 0 {
		return nil
	}
	for trips := 1.0; trips <= ma.high[stop]-ma.low[stop]; trips++ {
		option := []simplex.Entry{{Row: ma.none[stop], Value: 1}}
		for _, e := range entries {
			if e.Row == ma.carry[stop] {
				e.Value *= trips
			}
			option = append(option, e)
		}
		columns = append(columns, ma.lp.Add(trips*ma.m.TripCost[stop], option))
	}
	return columns
}

// tripsAt is how many trips the mix makes at a stop.
func (ma *master) tripsAt(stop int) float64 {
	if c := ma.trips[stop]; c >= 0 {
		return ma.low[stop] + ma.lp.Value(c)
	}
	return ma.low[stop]
}

func (ma *master) mayCarry(k, stop int) bool {
	for _, c := range ma.pool[k] {
		if c.schedule.Away[stop] {
			return true
		}
	}
	return false
}
