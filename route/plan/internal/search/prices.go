package search

// Prices steer a need away from what others want: they make one need's
// problem independent of all others.
type Prices struct {
	Cell    [][]float64 // per room and departure, per litre or kg held
	Kg      []float64   // per stop, per kg carried away
	Open    [][]float64 // per need and stop, once if anything is carried away
	closed  []bool      // per stop: nothing is carried away
	sum     [][]float64 // sum[room][q]: Cell of departures before q
	settled int         // times that they were settled
}

func newPrices(m *Model) *Prices {
	p := &Prices{Kg: make([]float64, m.Stops), closed: make([]bool, m.Stops)}
	for range m.Room {
		p.Cell = append(p.Cell, make([]float64, m.Legs()))
		p.sum = append(p.sum, make([]float64, m.Legs()+1))
	}
	for range m.Needs {
		p.Open = append(p.Open, make([]float64, m.Stops))
	}
	return p
}

// settle must follow every change of Cell and Kg.
func (p *Prices) settle() {
	p.settled++
	for r, row := range p.Cell {
		for q, price := range row {
			p.sum[r][q+1] = p.sum[r][q] + price
		}
	}
}

// hold is the price of one unit of a source held on a way to a departure,
// and of carrying it aboard.
func (p *Prices) hold(s *Source, w Way, to int) float64 {
	if to < s.Stop {
		return 0
	}
	last := len(p.sum) - 1
	price := (p.sum[w.Room][to+1]-p.sum[w.Room][s.Stop])*w.Litres +
		(p.sum[last][to+1]-p.sum[last][s.Stop])*s.Kg
	if s.Aboard < 0 {
		price += p.Kg[s.Stop] * s.Kg
	}
	return price
}

// cost is that of a need's schedule, with the room its flows take up and its
// share of the trips.
func (p *Prices) cost(n *Need, need int, s *Schedule) float64 {
	cost := s.Own()
	for _, f := range s.Flows {
		if f.Way >= 0 {
			source := &n.Sources[f.Source]
			cost += f.Amount * p.hold(source, source.Ways[f.Way], f.To)
		}
	}
	for stop, away := range s.Away {
		if away {
			cost += p.Open[need][stop]
		}
	}
	return cost
}
