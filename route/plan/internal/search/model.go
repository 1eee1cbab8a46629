// Package search looks for a cheap plan and proves a bound on every plan. It
// knows no documents: a brief comes compiled into a Model, and a Result goes
// back. It is pure and deterministic.
//
// Amounts are need-units, so that items of different yields add up. A room is
// a stowage space in litres, or, as the last room, the payload in kilograms.
// A cell is a room at one departure; the departure of the last stop has no
// cell, since nothing need be aboard then.
package search

import "math"

// Slack is below what the contract can tell apart: amounts under it are none.
const Slack = 2e-6

// Model is a brief compiled.
type Model struct {
	Stops    int
	TripCost []float64 // per stop
	Carry    []float64 // kg per trip and stop, +Inf where there is no limit
	Room     []float64 // litres per space, then kg in all
	Needs    []*Need
}

// Need is one need with all that can serve it.
type Need struct {
	Miss        float64 // cost per need-unit unmet
	ReserveMiss float64 // cost per need-unit of reserve lacking
	Segments    []Segment
	Due         []float64 // reserve due per leg
	Until       []float64 // moment what counts for the reserve of a leg must keep to
	Sources     []Source
	Offers      []Offer
	lay         *lay // what serves what, found when first needed
}

// Segment is a stretch of a period with use in it, cut wherever a lot of the
// need can expire: a lot serves a segment whole or not at all. That is the
// rule that what expires first is eaten first.
type Segment struct {
	Period int // 2s for the stay at stop s, 2l+1 for leg l
	End    float64
	Amount float64
}

// Source is an item at a stop where it is sold, or a lot held on day 0.
type Source struct {
	Item   int     // index in the brief's need
	Stop   int     // 0 for a lot held on day 0
	Aboard int     // index of the lot held on day 0, else -1
	Held   float64 // amount of that lot
	Taste  float64 // cost per unit eaten
	Line   float64 // cost if anything is carried away
	Kg     float64 // per unit
	Last   int     // last period it can serve
	Ways   []Way   // the spaces it can be kept in
	Offers []int   // into Need.Offers
}

// Way is a source kept in one space.
type Way struct {
	Room    int
	Litres  float64 // per unit
	Expires float64
}

// Offer is a pack size sold of a source.
type Offer struct {
	Source int
	Size   float64 // units per pack
	Price  float64 // per pack
	Min    int
	Limit  int // MaxPacks where there is no limit
}

// MaxPacks stands for no limit.
const MaxPacks = math.MaxInt32

// Legs is the number of legs, and of departures with a cell per room.
func (m *Model) Legs() int { return m.Stops - 1 }

// Payload is the room counted in kilograms.
func (m *Model) Payload() int { return len(m.Room) - 1 }

// lastDeparture is the last departure over which what is eaten in a period
// has been held; before the source's stop when it never was.
func lastDeparture(period int) int {
	if period == 0 {
		return -1
	}
	return (period - 1) / 2
}

// keeps says whether a way lasts to the end of a segment.
func (w Way) keeps(end float64) bool { return w.Expires >= end-1e-9 }

// Serves says whether a source can serve a segment at all.
func (s *Source) Serves(g Segment) bool {
	if s.direct(g.Period) {
		return true
	}
	if g.Period < 2*s.Stop || g.Period > s.Last {
		return false
	}
	for _, w := range s.Ways {
		if w.keeps(g.End) {
			return true
		}
	}
	return false
}

// direct says whether a period is the stay in which the source is bought, so
// that it is eaten day by day without being stowed.
func (s *Source) direct(period int) bool { return s.Aboard < 0 && period == 2*s.Stop }

// several says whether more than one item serves a need.
func (n *Need) several() bool {
	for i := range n.Sources {
		if n.Sources[i].Item != n.Sources[0].Item {
			return true
		}
	}
	return false
}

// Supply is what a source holds with the packs of a schedule.
func (n *Need) supply(source int, packs []int) float64 {
	s := &n.Sources[source]
	amount := s.Held
	for _, o := range s.Offers {
		amount += float64(packs[o]) * n.Offers[o].Size
	}
	return amount
}
