package search

import (
	"math"
)

// Load is what is taken up of every cell and carried away at every stop.
type Load struct {
	m    *Model
	free [][]float64 // per room and departure
	all  []float64   // the same in one row
	kg   []float64   // carried away per stop
	away []int       // per stop: needs of which something is carried away
	lift []float64   // most that may be carried away per stop
}

func newLoad(m *Model) *Load {
	l := &Load{m: m, kg: make([]float64, m.Stops), away: make([]int, m.Stops), lift: make([]float64, m.Stops)}
	for stop := range l.lift {
		l.lift[stop] = math.Inf(1)
	}
	legs := m.Legs()
	l.all = make([]float64, legs*len(m.Room))
	for r, room := range m.Room {
		row := l.all[r*legs : (r+1)*legs]
		for q := range row {
			row[q] = room
		}
		l.free = append(l.free, row)
	}
	return l
}

// copyFrom makes the load the same as another one of the same model.
func (l *Load) copyFrom(o *Load) {
	copy(l.all, o.all)
	copy(l.kg, o.kg)
	copy(l.away, o.away)
	copy(l.lift, o.lift)
}

// add counts a schedule in (sign 1) or out (sign -1).
func (l *Load) add(n *Need, s *Schedule, sign float64) {
	for _, f := range s.Flows {
		if f.Way < 0 {
			continue
		}
		l.take(n, f, sign*f.Amount)
	}
	for stop, kg := range s.Kg {
		l.kg[stop] += sign * kg
		if s.Away[stop] {
			l.away[stop] += int(sign)
		}
	}
}

func (l *Load) take(n *Need, f Flow, amount float64) {
	source := &n.Sources[f.Source]
	w := source.Ways[f.Way]
	from, to := source.Stop, max(source.Stop, f.To+1)
	occupy(l.free[w.Room][from:to], amount*w.Litres)
	occupy(l.free[l.m.Payload()][from:to], amount*source.Kg)
}

// occupy takes so much of every cell.
func occupy(cells []float64, amount float64) {
	for q := range cells {
		cells[q] -= amount
	}
}

// most is the largest amount of a source that fits on a way from its stop to
// a departure.
func (l *Load) most(s *Source, w Way, to int, amount float64) float64 {
	amount = fitting(l.free[w.Room][s.Stop:max(s.Stop, to+1)], w.Litres, amount)
	return max(fitting(l.free[l.m.Payload()][s.Stop:max(s.Stop, to+1)], s.Kg, amount), 0)
}

// fitting is the largest part of an amount that fits into every cell, a unit
// taking so much of each.
func fitting(cells []float64, unit, amount float64) float64 {
	for _, room := range cells {
		if amount*unit > room {
			amount = room / unit
		}
	}
	return amount
}

// holds says whether there is room for all that is in, but for what lacked
// when so much was free.
func (l *Load) holds(before []float64) bool {
	for k, free := range l.all {
		if free < min(before[k], 0)-1e-7 {
			return false
		}
	}
	return true
}

// fits says whether a schedule finds room.
func (l *Load) fits(n *Need, s *Schedule) bool {
	l.add(n, s, 1)
	fits := true
	for _, free := range l.all {
		fits = fits && free >= -1e-7
	}
	l.add(n, s, -1)
	return fits
}

// trips is the least number of trips that carries.
func (m *Model) trips(stop int, kg float64, away bool) float64 {
	if !away {
		return 0
	}
	if math.IsInf(m.Carry[stop], 1) {
		return 1
	}
	return max(1, math.Ceil((kg-Slack/2)/m.Carry[stop]))
}

// more is what the trips cost more with a schedule than without it.
func (l *Load) more(s *Schedule) float64 {
	cost := 0.0
	for stop, away := range s.Away {
		if away {
			cost += l.m.TripCost[stop] * (l.m.trips(stop, l.kg[stop]+s.Kg[stop], true) -
				l.m.trips(stop, l.kg[stop], l.away[stop] > 0))
		}
	}
	return cost
}

// tripsCost is what all trips cost.
func (l *Load) tripsCost() float64 {
	cost := 0.0
	for stop, away := range l.away {
		cost += l.m.TripCost[stop] * l.m.trips(stop, l.kg[stop], away > 0)
	}
	return cost
}
