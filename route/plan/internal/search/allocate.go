package search

import (
	"slices"
)

// allocator decides what is eaten and stowed when the packs are known.
type allocator struct {
	m      *Model
	load   *Load     // what all other needs take up; nil: room without end
	prices *Prices   // what room and carrying cost
	needs  []int     // that may be allocated
	order  [][]order // per need and segment, what expires first ahead
	latest [][]order // the same, what was bought last ahead
	cheap  [][]order // the same, what is cheapest to hold and eat ahead
	left   []float64
	held   []float64
	lift   []float64 // per stop: kg that may still be carried away
	away   []bool
	spent  int // schedules allocated
}

func newAllocator(m *Model, load *Load, prices *Prices, needs []int) *allocator {
	a := &allocator{m: m, load: load, prices: prices, needs: needs, held: make([]float64, m.Legs()), lift: make([]float64, m.Stops)}
	sources := 0
	a.order, a.latest, a.cheap = make([][]order, len(m.Needs)), make([][]order, len(m.Needs)), make([][]order, len(m.Needs))
	for _, i := range needs {
		a.order[i], a.latest[i] = m.Needs[i].orders()
		for _, servers := range a.order[i] {
			a.cheap[i] = append(a.cheap[i], slices.Clone(servers))
		}
		sources = max(sources, len(m.Needs[i].Sources))
	}
	a.left, a.away = make([]float64, sources), make([]bool, sources)
	a.reprice()
	return a
}

// allocate fills in flows and costs for the packs of s and returns its priced
// cost without trips.
func (a *allocator) allocate(need int, s *Schedule) float64 {
	a.spent++
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
	priced := 0.0
	for g := range n.Segments {
		switch s.Mode {
		case Backward:
			g = len(n.Segments) - 1 - g
			priced += a.serve(need, g, a.latest[need][g], s)
		case Cheapest:
			priced += a.serve(need, g, a.cheap[need][g], s)
		default:
			priced += a.serve(need, g, a.order[need][g], s)
		}
	}
	priced += a.keepReserve(n, s)
	a.tally(n, s)
	a.giveBack(n, s.Flows)
	return s.Own() + priced
}

// serve feeds one segment and returns the price of the room taken.
func (a *allocator) serve(need, g int, servers order, s *Schedule) float64 {
	n := a.m.Needs[need]
	lacking, priced := n.Segments[g].Amount, 0.0
	if s.Mode == NewFirst && n.Segments[g].Period%2 == 0 {
		for k := range servers {
			if servers[k].direct {
				lacking -= a.eat(n, servers[k].source, -1, g, -1, lacking, s)
			}
		}
	}
	for k := range servers {
		sv := &servers[k]
		if lacking <= 0 {
			break
		}
		switch {
		case a.left[sv.source] <= 0:
		case sv.direct:
			lacking -= a.eat(n, sv.source, -1, g, -1, lacking, s)
		default:
			eaten, cost := a.draw(n, sv, g, lacking, s)
			lacking -= eaten
			priced += cost
		}
	}
	if lacking > 0 {
		s.Missing += lacking * n.Miss
	}
	return priced
}

// draw eats from a stowed source, over its ways from the cheapest.
func (a *allocator) draw(n *Need, sv *server, g int, lacking float64, s *Schedule) (eaten, priced float64) {
	for _, w := range sv.ways {
		if eaten >= lacking || w.price+n.Sources[sv.source].Taste > n.Miss {
			break
		}
		amount := a.eat(n, sv.source, w.way, g, sv.to, lacking-eaten, s)
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

// grab takes what there is of a flow and fits from supplies and room.
func (a *allocator) grab(n *Need, f Flow) float64 {
	src := &n.Sources[f.Source]
	f.Amount = min(f.Amount, a.left[f.Source])
	if f.Way >= 0 && a.load != nil {
		if src.Aboard < 0 && f.Amount*src.Kg > a.lift[src.Stop] {
			f.Amount = max(0, a.lift[src.Stop]/src.Kg)
		}
		f.Amount = a.load.most(src, src.Ways[f.Way], f.To, f.Amount)
	}
	if f.Amount <= Slack {
		return 0
	}
	a.left[f.Source] -= f.Amount
	if f.Way >= 0 && a.load != nil {
		a.load.take(n, f, f.Amount)
		if src.Aboard < 0 {
			a.lift[src.Stop] -= f.Amount * src.Kg
		}
	}
	return f.Amount
}

// limits sets what may still be carried away.
func (a *allocator) limits() {
	if a.load == nil {
		return
	}
	for stop := range a.lift {
		a.lift[stop] = a.load.lift[stop] - a.load.kg[stop]
	}
}

// giveBack frees the room of flows.
func (a *allocator) giveBack(n *Need, flows []Flow) {
	if a.load == nil {
		return
	}
	for _, f := range flows {
		if f.Way >= 0 {
			a.load.take(n, f, -f.Amount)
		}
	}
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
