package brief

import (
	"math"
	"slices"

	"hardtack/pricing/calendar"
	"hardtack/route"
)

// Stop is a stop of the brief: a whole call, or a part of one.
type Stop struct {
	Call           int     // index into the itinerary's calls
	Arrive, Depart float64 // days since start
	Open           bool    // shops can be reached
	First, Last    bool    // first and last part of its call
}

// Leg is a leg of the brief: a way of the itinerary, or the empty leg between
// two parts of a call.
type Leg struct {
	Way         int     // index into the itinerary's ways; -1 between parts
	Depart      float64 // days since start
	Arrive      float64
	Long        float64 // days of a long passage, the length to be safe for
	ReserveDays float64 // provided for beyond Arrive: Long − Days, and what is wanted at the end
	ShipWait    float64 // between parts: days the next ship may be late
}

// Days is the leg's median length.
func (l Leg) Days() float64 { return l.Arrive - l.Depart }

// split cuts the calls of an itinerary at their shop days and gives the stops
// and legs of the brief.
func split(it route.Itinerary, o Options) ([]Stop, []Leg) {
	var stops []Stop
	var legs []Leg
	for i, c := range it.Calls {
		parts := partsOf(c, it.Start)
		for k, p := range parts {
			p.Call, p.First, p.Last = i, k == 0, k == len(parts)-1
			if k > 0 {
				legs = append(legs, between(parts, k, o))
			}
			stops = append(stops, p)
		}
		if i < len(it.Ways) {
			legs = append(legs, Leg{Way: i, Depart: c.Depart, Arrive: it.Calls[i+1].Arrive})
		}
	}
	reserveDays(it, legs, or(o.EndDays, endDays))
	return stops, legs
}

// partsOf cuts a call so that every run of shop days is an open part and the
// days between are closed ones. Without shop days the whole call is one part.
func partsOf(c route.Call, start calendar.Day) []Stop {
	whole := Stop{Arrive: c.Arrive, Depart: c.Depart, Open: !c.NoShops}
	if c.NoShops || len(c.ShopDays) == 0 {
		return []Stop{whole}
	}
	var parts []Stop
	at := c.Arrive
	for _, d := range slices.Sorted(slices.Values(c.ShopDays)) {
		from, to := max(at, float64(d-start)), min(c.Depart, float64(d-start)+1)
		if to <= from && !(to == from && from == c.Arrive && c.Arrive == c.Depart) {
			continue
		}
		if from > at {
			parts = append(parts, Stop{Arrive: at, Depart: from})
		}
		parts = joinOpen(parts, Stop{Arrive: from, Depart: to, Open: true})
		at = to
	}
	if at < c.Depart || len(parts) == 0 {
		parts = append(parts, Stop{Arrive: at, Depart: c.Depart})
	}
	return parts
}

func joinOpen(parts []Stop, p Stop) []Stop {
	if n := len(parts); n > 0 && parts[n-1].Open && parts[n-1].Depart == p.Arrive {
		parts[n-1].Depart = p.Depart
		return parts
	}
	return append(parts, p)
}

// between is the empty leg before part k. A ship that is waited for may be
// late: where shops were shut for five days or more, a third of that time is
// to be provided for on the day it is due.
func between(parts []Stop, k int, o Options) Leg {
	at := parts[k].Arrive
	leg := Leg{Way: -1, Depart: at, Arrive: at}
	shut := parts[k-1].Depart - parts[k-1].Arrive
	if parts[k].Open && shut >= shipFrom {
		leg.ShipWait = shut / 3
		if o.LateShipDays > 0 {
			leg.ShipWait = o.LateShipDays
		}
	}
	return leg
}

// shipFrom is the shortest wait that is for a ship, not for a Sunday.
const shipFrom = 5

// reserveDays settles what is provided for beyond each arrival: up to the
// length nine passages in ten stay below, at least 30 % of an ocean leg and
// never less than the 2 days of a coastal one, unless the skipper says
// otherwise; and what is wanted aboard at the end.
func reserveDays(it route.Itinerary, legs []Leg, end float64) {
	for l := range legs {
		w := legs[l].Way
		if w < 0 {
			continue
		}
		legs[l].ReserveDays = wayReserve(it, w)
		legs[l].Long = legs[l].Days() + legs[l].ReserveDays
		if w == len(it.Ways)-1 {
			legs[l].ReserveDays = max(legs[l].ReserveDays, end)
		}
	}
}

func wayReserve(it route.Itinerary, w int) float64 {
	if said := it.Calls[w].Leg.ReserveDays; said != nil {
		return *said
	}
	way := it.Ways[w]
	days := max(0, way.Days90-way.MedianDays)
	if way.Ocean {
		days = max(days, 0.3*way.MedianDays)
	}
	return max(days, 2)
}

// longestGap is the longest time at sea or without shops between two open
// stops, in days.
func longestGap(stops []Stop) float64 {
	gap, last := 0.0, math.Inf(1)
	for _, s := range stops {
		if s.Open {
			gap = max(gap, s.Arrive-last)
			last = s.Depart
		}
	}
	return gap
}
