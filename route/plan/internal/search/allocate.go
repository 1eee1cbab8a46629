package search

import (
	"slices"
)

// allocator decides what is eaten and stowed when the packs are known.
type allocator struct {
	m      *Model
	load   *Load   // what all other needs take up; nil: room without end
	prices *Prices // what room and carrying cost
	left   []float64
	held   []float64
	lift   []float64 // per stop: kg that may still be carried away
	away   []bool
	turn   []int32 // sources with something left, in order
	cheap  []int32 // the same for one segment, what is cheapest ahead
	costs  []float64
	ways   []pricedWay
	ample  []bool    // per room: has room for all that is left
	wanted []float64 // per room: what all that is left would take
	kept   []float64 // the room there was before
}

func newAllocator(m *Model, load *Load, prices *Prices) *allocator {
	m.prepare()
	prices.settle()
	return rawAllocator(m, load, prices)
}

// beside is an allocator that works while this one does, with as much room
// taken up as now.
func (a *allocator) beside() *allocator {
	load := a.load
	if load != nil {
		load = newLoad(a.m)
		load.copyFrom(a.load)
	}
	return rawAllocator(a.m, load, a.prices)
}

func rawAllocator(m *Model, load *Load, prices *Prices) *allocator {
	a := &allocator{m: m, load: load, prices: prices, held: make([]float64, m.Legs()), lift: make([]float64, m.Stops)}
	sources := 0
	for _, n := range m.Needs {
		sources = max(sources, len(n.Sources))
	}
	a.left, a.away = make([]float64, sources), make([]bool, sources)
	a.ample, a.wanted = make([]bool, len(m.Room)), make([]float64, len(m.Room))
	a.kept = make([]float64, len(m.Room)*m.Legs())
	return a
}

// allocate fills in flows and costs for the packs of s and returns its priced
// cost without trips.
func (a *allocator) allocate(need int, s *Schedule) float64 {
	n := a.m.Needs[need]
	s.Flows = s.Flows[:0]
	s.Goods, s.Lines, s.Taste, s.Missing, s.Reserve = 0, 0, 0, 0, 0
	for o := range n.Offers {
		s.Goods += float64(s.Packs[o]) * n.Offers[o].Price
	}
	for i := range n.Sources {
		a.left[i] = n.supply(i, s.Packs)
	}
	a.limits()
	a.turns(n, s.Mode)
	a.compare(n)
	priced := 0.0
	for g := range n.Segments {
		switch s.Mode {
		case Backward:
			priced += a.serve(n, len(n.Segments)-1-g, a.turn, s)
		case Cheapest:
			priced += a.serve(n, g, a.cheapest(n, g), s)
		default:
			priced += a.serve(n, g, a.turn, s)
		}
	}
	priced += a.keepReserve(n, s)
	a.tally(n, s)
	a.giveBack()
	return s.Own() + priced
}

// serve feeds one segment and returns the price of the room taken.
func (a *allocator) serve(n *Need, g int, sources []int32, s *Schedule) float64 {
	lacking, priced := n.Segments[g].Amount, 0.0
	if s.Mode == NewFirst && n.Segments[g].Period%2 == 0 {
		for _, i := range sources {
			if x := &n.lay.spans[i]; x.serves(g) && x.direct(g) {
				lacking -= a.eat(n, int(i), -1, g, -1, lacking, s)
			}
		}
	}
	for _, i := range sources {
		if lacking <= 0 {
			break
		}
		x := &n.lay.spans[i]
		if a.left[i] <= 0 || !x.serves(g) {
			continue
		}
		if x.direct(g) {
			lacking -= a.eat(n, int(i), -1, g, -1, lacking, s)
			continue
		}
		eaten, cost := a.draw(n, int(i), g, lacking, s)
		lacking -= eaten
		priced += cost
	}
	if lacking > 0 {
		s.Missing += lacking * n.Miss
	}
	return priced
}

// draw eats from a stowed source, over its ways from the cheapest.
func (a *allocator) draw(n *Need, i, g int, lacking float64, s *Schedule) (eaten, priced float64) {
	src, to := &n.Sources[i], int(n.lay.to[g])
	for _, w := range a.lasting(src, &n.lay.spans[i], g, to) {
		if eaten >= lacking || w.price+src.Taste > n.Miss {
			break
		}
		amount := a.eat(n, i, w.way, g, to, lacking-eaten, s)
		eaten += amount
		priced += amount * w.price
	}
	return eaten, priced
}

// eat takes what is left and fits, up to an amount.
func (a *allocator) eat(n *Need, source, way, g, to int, amount float64, s *Schedule) float64 {
	src := &n.Sources[source]
	if way >= 0 && src.Aboard < 0 && s.Stay[src.Stop] {
		return 0
	}
	f := Flow{source, way, g, to, amount}
	if f.Amount = a.grab(n, f); f.Amount > 0 {
		s.Flows = append(s.Flows, f)
		s.Taste += f.Amount * src.Taste
	}
	return f.Amount
}

// tally counts lines and the kilograms carried away.
func (a *allocator) tally(n *Need, s *Schedule) {
	if len(a.away) < len(n.Sources) {
		a.away = make([]bool, len(n.Sources))
	}
	for i := range n.Sources {
		a.away[i] = false
	}
	for stop := range s.Kg {
		s.Kg[stop], s.Away[stop] = 0, false
	}
	for _, f := range s.Flows {
		source := &n.Sources[f.Source]
		if f.Way < 0 || source.Aboard >= 0 {
			continue
		}
		s.Kg[source.Stop] += f.Amount * source.Kg
		s.Away[source.Stop] = true
		if !a.away[f.Source] {
			a.away[f.Source] = true
			s.Lines += source.Line
		}
	}
}

// recount computes the costs of a schedule from its packs and flows, without
// those that are next to nothing.
func (a *allocator) recount(n *Need, s *Schedule) {
	s.Flows = slices.DeleteFunc(s.Flows, func(f Flow) bool { return f.Amount <= Slack })
	s.Goods, s.Lines, s.Taste, s.Missing, s.Reserve = 0, 0, 0, 0, 0
	for o := range n.Offers {
		s.Goods += float64(s.Packs[o]) * n.Offers[o].Price
	}
	clear(a.held)
	for _, g := range n.Segments {
		s.Missing += g.Amount * n.Miss
	}
	for _, f := range s.Flows {
		a.cover(n, f)
		if f.Segment >= 0 {
			s.Taste += f.Amount * n.Sources[f.Source].Taste
			s.Missing -= f.Amount * n.Miss
		}
	}
	for leg, due := range n.Due {
		s.Reserve += max(due-a.held[leg], 0) * n.ReserveMiss
	}
	a.tally(n, s)
}
