package search

import (
	"math"
	"slices"
)

// allocator decides what is eaten and stowed when the packs are known.
type allocator struct {
	m       *Model
	load    *Load    // what all other needs take up; nil: room without end
	prices  *Prices  // what room and carrying cost
	charges *charges // what that comes to for the need last at hand
	left    []float64
	held    []float64
	floor   floor
	free    []float64 // per stop: no fee
	trips   []float64 // per stop: the fee of a trip that nobody else makes
	fees    []float64 // per stop: those of the rival at hand
	fee     float64   // all those due
	lift    []float64 // per stop: kg that may still be carried away
	away    []bool
	turn    []int32   // sources with something left, in order
	ample   []bool    // per room: has room for all that is left
	wanted  []float64 // per room: what all that is left would take
	kept    []float64 // the room there was before
}

func newAllocator(m *Model, load *Load, prices *Prices) *allocator {
	m.prepare()
	prices.settle()
	return rawAllocator(m, load, prices, &charges{})
}

// beside is an allocator that works while this one does, with as much room
// taken up as now; c is its own to reckon in.
func (a *allocator) beside(c *charges) *allocator {
	load := a.load
	if load != nil {
		load = newLoad(a.m)
		load.copyFrom(a.load)
	}
	return rawAllocator(a.m, load, a.prices, c)
}

func rawAllocator(m *Model, load *Load, prices *Prices, c *charges) *allocator {
	a := &allocator{m: m, load: load, prices: prices, charges: c, held: make([]float64, m.Legs()), lift: make([]float64, m.Stops)}
	sources, segments := 0, 0
	for _, n := range m.Needs {
		sources, segments = max(sources, len(n.Sources)), max(segments, len(n.Segments))
	}
	a.free, a.trips = make([]float64, m.Stops), make([]float64, m.Stops)
	a.left, a.away = make([]float64, sources), make([]bool, sources)
	a.floor = newFloor(segments)
	a.ample, a.wanted = make([]bool, len(m.Room)), make([]float64, len(m.Room))
	a.kept = make([]float64, len(m.Room)*m.Legs())
	return a
}

// allocate fills in flows and costs for the packs of s and returns its priced
// cost without trips.
func (a *allocator) allocate(need int, s *Schedule) float64 {
	return a.within(need, s, rival{math.Inf(1), a.free})
}

// within is allocate, but given up with +Inf, s being left half done, once it
// is sure that the cost with fees is above a rival's.
func (a *allocator) within(need int, s *Schedule, most rival) float64 {
	n := a.m.Needs[need]
	c := a.charge(n)
	a.stock(n, s)
	limited, segments := !math.IsInf(most.cost, 1), len(n.Segments)
	if limited && a.over(n, s, most) {
		return math.Inf(1)
	}
	a.limits()
	a.compare(n)
	a.untallied(n, s, most.fees)
	priced := 0.0
	for k := range segments {
		g, from, till := k, k+1, segments // from, till: what is still to be served
		turn := a.turn
		switch s.Mode {
		case Backward:
			g, from, till = segments-1-k, 0, segments-1-k
		case Cheapest:
			turn = c.ranked(g)
		}
		priced += a.serve(n, g, turn, s)
		if limited && a.floor.above(most.cost, s.Own()+a.fee+priced, a.left, from, till) {
			a.giveBack()
			return math.Inf(1)
		}
	}
	priced += a.keepReserve(n, s)
	a.giveBack()
	return s.Own() + priced
}

// stock takes stock of what the packs hold.
func (a *allocator) stock(n *Need, s *Schedule) {
	s.Flows = slices.Grow(s.Flows[:0], len(n.Segments))
	s.Goods, s.Lines, s.Taste, s.Missing, s.Reserve = 0, 0, 0, 0, 0
	for i := range n.Sources {
		a.left[i] = n.Sources[i].Held
	}
	for o, packs := range s.Packs {
		if packs > 0 {
			offer := &n.Offers[o]
			s.Goods += float64(packs) * offer.Price
			a.left[offer.Source] += float64(packs) * offer.Size
		}
	}
	a.turns(n, s.Mode)
}

// serve feeds one segment and returns the price of the room taken.
func (a *allocator) serve(n *Need, g int, sources []int32, s *Schedule) float64 {
	lacking, priced := n.Segments[g].Amount, 0.0
	if s.Mode == NewFirst && n.Segments[g].Period%2 == 0 {
		for _, i := range sources {
			if x := &n.lay.spans[i]; x.serves(g) && x.direct(g) {
				lacking -= a.eat(n, int(i), g, lacking, s)
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
			lacking -= a.eat(n, int(i), g, lacking, s)
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
	if src.stays(s) {
		return 0, 0
	}
	for _, w := range a.charges.lasting(i, g) {
		if eaten >= lacking || w.way < 0 || w.price+src.Taste > n.Miss {
			break
		}
		amount := a.stow(src, Flow{i, w.way, g, to, lacking - eaten}, s)
		s.Taste += amount * src.Taste
		eaten += amount
		priced += amount * w.price
	}
	return eaten, priced
}

// stays says whether what is bought of a source is not carried away.
func (s *Source) stays(t *Schedule) bool { return s.Aboard < 0 && t.Stay[s.Stop] }

// stow stows what is left of a flow and fits.
func (a *allocator) stow(source *Source, f Flow, s *Schedule) float64 {
	if f.Amount = a.grab(source, f); f.Amount > 0 {
		s.Flows = append(s.Flows, f)
		a.count(source, f, s)
	}
	return f.Amount
}

// eat eats what is left of what was just bought, up to an amount.
func (a *allocator) eat(n *Need, i, g int, amount float64, s *Schedule) float64 {
	if left := a.left[i]; left < amount {
		amount = left
	}
	if amount <= Slack {
		return 0
	}
	a.left[i] -= amount
	s.Flows = append(s.Flows, Flow{i, -1, g, -1, amount})
	s.Taste += amount * n.Sources[i].Taste
	return amount
}

// untallied has no lines and nothing carried away yet.
func (a *allocator) untallied(n *Need, s *Schedule, fees []float64) {
	a.away = slices.Grow(a.away[:0], len(n.Sources))[:len(n.Sources)]
	clear(a.away)
	clear(s.Kg)
	clear(s.Away)
	a.fees, a.fee = fees, 0
}

// count counts a flow's line and the kilograms carried away.
func (a *allocator) count(source *Source, f Flow, s *Schedule) {
	if f.Way < 0 || source.Aboard >= 0 {
		return
	}
	s.Kg[source.Stop] += f.Amount * source.Kg
	if !a.away[f.Source] {
		a.away[f.Source] = true
		s.Lines += source.Line
		if !s.Away[source.Stop] {
			s.Away[source.Stop] = true
			a.fee += a.fees[source.Stop]
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
	a.untallied(n, s, a.free)
	for _, g := range n.Segments {
		s.Missing += g.Amount * n.Miss
	}
	for _, f := range s.Flows {
		a.cover(n, f)
		a.count(&n.Sources[f.Source], f, s)
		if f.Segment >= 0 {
			s.Taste += f.Amount * n.Sources[f.Source].Taste
			s.Missing -= f.Amount * n.Miss
		}
	}
	for leg, due := range n.Due {
		s.Reserve += max(due-a.held[leg], 0) * n.ReserveMiss
	}
}
