package search

import "math"

// Flow is an amount taken from a source: eaten in a segment, or held over a
// leg for the reserve and then given up.
type Flow struct {
	Source  int
	Way     int     // -1: eaten in the stay where it was bought
	Segment int     // -1: held for the reserve only
	To      int     // last departure over which it is held
	Amount  float64 // units
}

// Schedule is what is done about one need.
type Schedule struct {
	Packs []int // per offer
	Mode  Mode
	Stay  []bool // per stop: what is bought there is not carried away
	Flows []Flow

	Goods, Lines, Taste, Missing, Reserve float64
	Kg                                    []float64 // carried away per stop
	Away                                  []bool    // per stop: something is carried away
}

// Mode is the order in which what was bought is shared out. None is best for
// every schedule, each is for some.
type Mode byte

const (
	OldFirst Mode = iota // along the route, what expires first first
	NewFirst             // the same, but in port what is bought there first
	Backward             // from the end of the route, what was bought last first
	modes
)

// Own is the cost of a schedule without trips.
func (s *Schedule) Own() float64 { return s.Goods + s.Lines + s.Taste + s.Missing + s.Reserve }

func newSchedule(m *Model, n *Need) *Schedule {
	s := &Schedule{Packs: make([]int, len(n.Offers)), Stay: make([]bool, m.Stops), Kg: make([]float64, m.Stops), Away: make([]bool, m.Stops)}
	for o := range n.Offers {
		s.Packs[o] = n.Offers[o].Min
	}
	return s
}

func (s *Schedule) copyFrom(t *Schedule) {
	flows, packs, stay, kg, away := s.Flows, s.Packs, s.Stay, s.Kg, s.Away
	*s = *t
	s.Flows = append(flows[:0], t.Flows...)
	s.Packs = append(packs[:0], t.Packs...)
	s.Stay = append(stay[:0], t.Stay...)
	s.Kg = append(kg[:0], t.Kg...)
	s.Away = append(away[:0], t.Away...)
}

func (s *Schedule) clone() *Schedule {
	t := &Schedule{}
	t.copyFrom(s)
	return t
}

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
