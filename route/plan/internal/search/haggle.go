package search

import (
	"cmp"
	"math"
	"slices"
)

// haggler looks for prices of room at which the needs, each for itself, take
// about as much as there is: packs may be split, lines and reserves are left
// out. It is rough and soon done, and its prices are a good start.
type haggler struct {
	m       *Model
	prices  *Prices
	demands []demand
	gain    []float64   // per need: what serving it saves against going without
	over    [][]float64 // per room and departure: what is taken beyond the room
	along   [][]float64 // running mean of over, as parts of the room
}

// demand is the use of one segment with what could serve it.
type demand struct {
	need         int
	amount, miss float64
	stalls       []stall
}

// stall is a source on a way, as it serves one segment.
type stall struct {
	cost       float64 // without room
	from, to   int     // departures over which a unit is held
	room       int     // -1: eaten where it is bought
	litres, kg float64
}

func newHaggler(m *Model, p *Prices) *haggler {
	h := &haggler{m: m, prices: p, over: newPrices(m).Cell, along: newPrices(m).Cell,
		gain: make([]float64, len(m.Needs))}
	for i, n := range m.Needs {
		for _, g := range n.Segments {
			h.demands = append(h.demands, demand{i, g.Amount, n.Miss, n.stalls(p, g)})
		}
	}
	return h
}

// stalls lists what serves a segment. What is bought later at no higher price
// and kept on the same way takes no more room, whatever room costs, so that
// nothing earlier need be listed with it.
func (n *Need) stalls(p *Prices, g Segment) []stall {
	var list []stall
	for i := range n.Sources {
		s := &n.Sources[i]
		cost := s.Taste
		if s.Aboard < 0 {
			cost += n.UnitPrice(i)
		}
		if s.direct(g.Period) {
			list = append(list, stall{cost: cost, room: -1})
			continue
		}
		if !s.Serves(g) || s.Aboard >= 0 {
			continue
		}
		cost += p.Kg[s.Stop] * s.Kg
		if cost >= n.Miss {
			continue
		}
		for _, w := range s.Ways {
			if w.keeps(g.End) {
				list = append(list, stall{cost, s.Stop, lastDeparture(g.Period), w.Room, w.Litres, s.Kg})
			}
		}
	}
	return slices.DeleteFunc(list, func(a stall) bool {
		return slices.ContainsFunc(list, func(b stall) bool { return b != a && b.beats(a) })
	})
}

// beats says whether a stall never costs more than another one.
func (a stall) beats(b stall) bool {
	if a.cost > b.cost {
		return false
	}
	if a.room < 0 {
		return true
	}
	return a.room == b.room && a.from >= b.from && a.litres <= b.litres && a.kg <= b.kg
}

// hold is what a unit of a stall costs with the room it takes.
func (h *haggler) hold(a *stall) float64 {
	if a.room < 0 {
		return a.cost
	}
	sum, last := h.prices.sum, h.m.Payload()
	return a.cost + (sum[a.room][a.to+1]-sum[a.room][a.from])*a.litres + (sum[last][a.to+1]-sum[last][a.from])*a.kg
}

// demand serves every segment where that is cheapest, notes the room it takes
// and returns the cost less what all room is worth.
func (h *haggler) demand() float64 {
	total := 0.0
	clear(h.gain)
	for r, row := range h.over {
		for q := range row {
			row[q] = -h.m.Room[r]
			if !math.IsInf(h.m.Room[r], 1) {
				total -= h.prices.Cell[r][q] * h.m.Room[r]
			}
		}
	}
	for d := range h.demands {
		d := &h.demands[d]
		best, least := -1, d.miss
		for k := range d.stalls {
			if cost := h.hold(&d.stalls[k]); cost < least {
				best, least = k, cost
			}
		}
		total += least * d.amount
		h.gain[d.need] += (d.miss - least) * d.amount
		if best < 0 || d.stalls[best].room < 0 {
			continue
		}
		a := &d.stalls[best]
		litres, kg := h.over[a.room], h.over[h.m.Payload()]
		for q := a.from; q <= a.to; q++ {
			litres[q] += d.amount * a.litres
			kg[q] += d.amount * a.kg
		}
	}
	return total
}

// run haggles for some rounds and leaves the prices of the best of them: each
// moves along a running mean of what is taken beyond the room.
func (h *haggler) run(rounds int) {
	h.prices.settle()
	best := h.demand()
	at, hope, stale := clone(h.prices.Cell), 0.3, 0
	value := best
	for range rounds {
		norm := h.direct()
		if norm < 1e-12 {
			break
		}
		h.move((math.Abs(best)*hope + best - value) / norm)
		if value = h.demand(); value > best {
			if value > best*(1+hope/20) {
				stale = 0
			}
			best = value
			copyInto(at, h.prices.Cell)
		}
		if stale++; stale > 4 {
			hope, stale = hope/2, 0
			copyInto(h.prices.Cell, at)
			h.prices.settle()
			value = h.demand()
		}
	}
	copyInto(h.prices.Cell, at)
	h.prices.settle()
	h.demand()
}

// order lists the needs, those that save most first.
func (h *haggler) order() []int {
	order := make([]int, len(h.gain))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int {
		return cmp.Compare(h.gain[b], h.gain[a])
	})
	return order
}

// direct turns the running mean towards what is over now, and returns its
// square.
func (h *haggler) direct() float64 {
	const part = 0.5
	norm := 0.0
	for r, row := range h.along {
		if math.IsInf(h.m.Room[r], 1) || h.m.Room[r] == 0 {
			continue
		}
		for q := range row {
			row[q] += part * (h.over[r][q]/h.m.Room[r] - row[q])
			if row[q] < 0 && h.prices.Cell[r][q] == 0 {
				continue
			}
			norm += row[q] * row[q]
		}
	}
	return norm
}

func (h *haggler) move(length float64) {
	for r, row := range h.along {
		if math.IsInf(h.m.Room[r], 1) || h.m.Room[r] == 0 {
			continue
		}
		for q, d := range row {
			h.prices.Cell[r][q] = max(0, h.prices.Cell[r][q]+length*d/h.m.Room[r])
		}
	}
	h.prices.settle()
}

func clone(rows [][]float64) [][]float64 {
	c := make([][]float64, len(rows))
	for r, row := range rows {
		c[r] = slices.Clone(row)
	}
	return c
}

func copyInto(to, from [][]float64) {
	for r, row := range from {
		copy(to[r], row)
	}
}
