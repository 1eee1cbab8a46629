package search

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
	Cheapest             // along the route, what takes the cheapest room and is liked best first
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
