// Package route has what the skipper intends: a voyage of stops and legs.
// Its folders turn it, with estimates, into a brief, a plan and a list.
package route

import (
	"hardtack/pricing"
	"hardtack/pricing/calendar"
	"hardtack/pricing/money"
	"hardtack/pricing/wording"
	"hardtack/route/geo"
)

// Voyage is a season as the skipper puts it down.
type Voyage struct {
	ID      string         `json:"id"`
	Name    string         `json:"name"`
	Home    money.Currency `json:"home"`     // the skipper's own currency
	SpeedKn float64        `json:"speed_kn"` // usual speed made good; 0 = default 5.5
	Stops   []Stop         `json:"stops"`    // two or more, in route order
}

// Stop is a call at a port with the leg that follows it.
type Stop struct {
	Port     pricing.PortID `json:"port"`
	Arrive   calendar.Day   `json:"arrive,omitzero"`     // zero: from the leg before
	Depart   calendar.Day   `json:"depart,omitzero"`     // zero: Arrive + StayDays
	StayDays float64        `json:"stay_days,omitzero"`  // used when Depart is zero
	Ashore   float64        `json:"ashore,omitzero"`     // share eaten ashore, 0–1
	ShopDays []calendar.Day `json:"shop_days,omitempty"` // only days with shops or a ship; empty: as the port's notes say
	NoShops  bool           `json:"no_shops,omitempty"`
	TripCost *float64       `json:"trip_cost,omitempty"` // home currency; nil = default
	CarryKg  *float64       `json:"carry_kg,omitempty"`  // one trip; nil = default
	Leg      Leg            `json:"leg,omitzero"`        // to the next stop; unused at the last
}

// Leg is the way to the next stop.
type Leg struct {
	Via         []geo.Position    `json:"via,omitempty"`
	DistanceNM  geo.NauticalMiles `json:"distance_nm,omitzero"` // as the skipper says; 0 = measured over water
	SpeedKn     float64           `json:"speed_kn,omitzero"`
	Days        float64           `json:"days,omitzero"`          // median as the skipper says; 0 = distance and speed
	ReserveDays *float64          `json:"reserve_days,omitempty"` // nil = by rule
}

// Itinerary is a voyage with every date and distance settled.
type Itinerary struct {
	Voyage string
	Name   string
	Start  calendar.Day // day 0
	Calls  []Call
	Ways   []Way            // len(Calls)-1
	Notes  []wording.Remark // what was assumed or looks wrong
}

// Call is a settled stop; Arrive and Depart are days since Start.
type Call struct {
	Stop
	Arrive, Depart float64
}

// Way is a settled leg.
type Way struct {
	DistanceNM  geo.NauticalMiles // over water
	DirectNM    geo.NauticalMiles // geodesic through Via
	CrossesLand bool              // the direct line does
	MedianDays  float64
	Days90      float64 // nine passages in ten are shorter
	Ocean       bool
}
