package search

import (
	"math"
)

// Load is what is taken up of every cell and carried away at every stop.
type Load struct {
	m    *Model
	free [][]float64 // per room and departure
	kg   []float64   // carried away per stop
	away []int       // per stop: needs of which something is carried away
	lift []float64   // most that may be carried away per stop
}

func newLoad(m *Model) *Load {
	l := &Load{m: m, kg: make([]float64, m.Stops), away: make([]int, m.Stops), lift: make([]float64, m.Stops)}
	for stop := range l.lift {
		l.lift[stop] = math.Inf(1)
	}
	for _, room := range m.Room {
		row := make([]float64, m.Legs())
		for q := range row {
			row[q] = room
		}
		l.free = append(l.free, row)
	}
	return l
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
	litres, kg := l.free[w.Room], l.free[l.m.Payload()]
	for q := source.Stop; q <= f.To; q++ {
		litres[q] -= amount * w.Litres
		kg[q] -= amount * source.Kg
	}
}

// most is the largest amount of a source that fits on a way from its stop to
// a departure.
func (l *Load) most(s *Source, w Way, to int, amount float64) float64 {
	litres, kg := l.free[w.Room], l.free[l.m.Payload()]
	for q := s.Stop; q <= to; q++ {
		if room := litres[q]; amount*w.Litres > room {
			amount = room / w.Litres
		}
		if room := kg[q]; amount*s.Kg > room {
			amount = room / s.Kg
		}
	}
	return max(amount, 0)
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
