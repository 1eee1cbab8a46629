// Package vessel is the boat and who is aboard: where things are stowed, what
// the boat carries of water and gas, and what each person eats.
package vessel

import "hardtack/pricing/calendar"

// SpaceKind is a kind of stowage.
type SpaceKind string

// Kinds of space.
const (
	Dry       SpaceKind = "dry"
	Cool      SpaceKind = "cool" // bilge
	Net       SpaceKind = "net"  // aired
	Fridge    SpaceKind = "fridge"
	Freezer   SpaceKind = "freezer"
	Deck      SpaceKind = "deck"
	Tank      SpaceKind = "tank"
	GasLocker SpaceKind = "gas"
)

// Space is a named stowage space. Litres are as measured; Usable is the share
// that can be filled (0 = the kind's default). Instead of litres a space may be
// given by the folding crates or full shopping bags it takes, see Fillable.
type Space struct {
	ID     string    `json:"id"`
	Kind   SpaceKind `json:"kind"`
	Litres float64   `json:"litres,omitzero"`
	Crates float64   `json:"crates,omitzero"`
	Bags   float64   `json:"bags,omitzero"`
	Usable float64   `json:"usable,omitzero"`
	TempC  *float64  `json:"temp_c,omitempty"` // as logged; nil = by kind and climate
}

// Vessel is a boat.
type Vessel struct {
	ID                string     `json:"id"`
	Name              string     `json:"name"`
	Spaces            []Space    `json:"spaces"`
	PayloadKg         *float64   `json:"payload_kg,omitempty"`
	WaterTankL        float64    `json:"water_tank_l,omitzero"`
	WatermakerLPerDay float64    `json:"watermaker_l_per_day,omitzero"`
	Cylinders         []Cylinder `json:"cylinders,omitempty"`  // the first is the one in use
	OvenBread         bool       `json:"oven_bread,omitempty"` // bakes daily: more gas
}

// Cylinder is a gas cylinder by its net content.
type Cylinder struct {
	Kg   float64 `json:"kg"`   // net when full
	Full float64 `json:"full"` // share left, 0–1
}

// Sex as the energy tables need it.
type Sex string

// Sexes of the FAO/WHO/UNU tables; Unsaid takes their mean.
const (
	Female Sex = "f"
	Male   Sex = "m"
	Unsaid Sex = ""
)

// Person is somebody aboard.
type Person struct {
	ID        string             `json:"id"`
	Name      string             `json:"name"`
	Age       float64            `json:"age"` // years at the voyage's start
	Sex       Sex                `json:"sex,omitempty"`
	MassKg    float64            `json:"mass_kg,omitzero"`     // 0 = usual for the age
	Appetite  float64            `json:"appetite,omitzero"`    // factor on food; 0 = 1
	Factors   map[string]float64 `json:"factors,omitempty"`    // by item.Appetite: coffee, alcohol …
	NotEating []string           `json:"not_eating,omitempty"` // item ids, need ids, allergens or diets
	Seasick   bool               `json:"seasick,omitempty"`
	Aboard    []Span             `json:"aboard,omitempty"` // empty = the whole voyage
}

// Span is a stretch of days, both ends included; a zero end is open.
type Span struct {
	From calendar.Day `json:"from,omitzero"`
	To   calendar.Day `json:"to,omitzero"`
}

// Crew is everybody of a season.
type Crew struct {
	ID      string   `json:"id"`
	Persons []Person `json:"persons"`
}
