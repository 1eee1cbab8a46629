// Package brief turns a boat, its crew, a voyage, estimates and the catalogue
// into the brief the planner solves, and keeps the notes that let a page
// explain every number of it.
//
// Units: days since the itinerary's start, both ends of a period as floats;
// litres and kilograms as stowed; money in the skipper's home currency unless
// a name says otherwise. The starting values are common practice without a
// source; each can be changed by Options or in the catalogue.
package brief

import (
	"hardtack/pricing"
	"hardtack/pricing/calendar"
	"hardtack/pricing/item"
	"hardtack/pricing/money"
	"hardtack/route"
	"hardtack/route/inventory"
	"hardtack/route/port"
	"hardtack/route/vessel"
)

// Ports is what Build asks of a gazetteer.
type Ports interface {
	Port(pricing.PortID) (port.Port, bool)
}

// Rules is what Build asks of the arrival rules: whether a food class crosses
// a border between two ports, and the rule there. A rule nobody has read comes
// back with port.Unknown.
type Rules interface {
	Entering(from, to port.Port, class string) (port.Rule, bool)
}

// Rate gives units of a currency per unit of the reference currency, and the
// day of that rate.
type Rate func(money.Currency) (float64, calendar.Day, error)

// Input is everything a brief is built from. Build changes none of it.
type Input struct {
	Itinerary route.Itinerary
	Ports     Ports
	Rules     Rules
	Vessel    vessel.Vessel
	Crew      vessel.Crew
	Lots      []inventory.Lot // aboard on day 0
	Catalogue *item.Catalogue
	Prices    *pricing.Table
	Home      money.Currency
	Rate      Rate
	Wishes    []Wish
	Today     calendar.Day // the age of rules and evidence is told from here
	Options   Options
}

// Options are the skipper's settings; the zero value takes every default.
type Options struct {
	TripCost *float64 `json:"trip_cost,omitempty"` // one shopping trip, home currency
	LineCost *float64 `json:"line_cost,omitempty"` // one item bought at one stop, home currency
	EndDays  *float64 `json:"end_days,omitempty"`  // days of food wanted aboard at the end; a delivery says 0

	// Surrender is the switch for a food class whose arrival rule is
	// conditional, unknown or unconfirmed: true plans to lose it. A class not
	// named takes the default, see SurrenderDefault.
	Surrender map[string]bool `json:"surrender,omitempty"`

	// Available is how likely an item must be found to be counted on, 0–1.
	Available map[item.Necessity]float64 `json:"available,omitempty"`

	EmergencyMeals *float64 `json:"emergency_meals,omitempty"` // per person, beside all use
	WaterLPerDay   float64  `json:"water_l_per_day,omitzero"`  // per adult, all use at sea
	RationLPerDay  float64  `json:"ration_l_per_day,omitzero"` // per adult, with the watermaker dead
	GasKgPerDay    float64  `json:"gas_kg_per_day,omitzero"`   // per person
	LateShipDays   float64  `json:"late_ship_days,omitzero"`   // a supply ship may be that late; 0 = a third of its interval
}

// Defaults in the reference currency: a fare, fuel and half a day of the crew
// for a trip; finding, decanting and stowing for a line.
const (
	tripCost = 30.0
	lineCost = 1.5
	endDays  = 7.0
)

// available is the default of Options.Available.
var available = map[item.Necessity]float64{
	item.Safety: 0.6, item.Staple: 0.5, item.Comfort: 0.4, item.Luxury: 0.3,
}

func (o Options) threshold(c item.Necessity) float64 {
	if x, ok := o.Available[c]; ok {
		return x
	}
	return available[c]
}

func or(p *float64, otherwise float64) float64 {
	if p != nil {
		return *p
	}
	return otherwise
}

// Wish is what the skipper wants of one item, whatever the planner thinks.
type Wish struct {
	Item  pricing.ItemID `json:"item"`
	Port  pricing.PortID `json:"port,omitempty"` // where; empty: everywhere (only with Never)
	Never bool           `json:"never,omitempty"`
	Least float64        `json:"least,omitzero"` // at least so many item-units, in whole packs
}
