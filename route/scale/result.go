package scale

import (
	"hardtack/pricing"
	"hardtack/pricing/measure"
	"hardtack/pricing/wording"
)

// Target is whom and how long the list is for.
type Target struct {
	People  float64 `json:"people"`  // adults; a child counts by its share
	Days    float64 `json:"days"`    // of the passage
	Reserve float64 `json:"reserve"` // days more, to be due later than planned
	Fridge  float64 `json:"fridge"`  // litres as measured; 0 = none
	Freezer float64 `json:"freezer"` // litres as measured; 0 = none
	LockerC float64 `json:"locker_c"`
	// what is aboard already, in the items' units
	Aboard map[pricing.ItemID]measure.Quantity `json:"aboard,omitempty"`
}

// When is when to buy a thing.
type When string

// From long before to the last hour.
const (
	WeeksAhead  When = "weeks ahead"
	LastDays    When = "last three days"
	LastMorning When = "last morning"
)

// Stage is the part of the passage a thing is for.
type Stage string

// Fresh things are eaten first, hardy ones then, and the rest keeps.
const (
	Fresh Stage = "fresh"
	Hardy Stage = "hardy"
	Keeps Stage = "keeps"
)

// Place is where a thing is stowed.
type Place string

// The places a list without a boat can know.
const (
	Locker    Place = "dry locker"
	Cool      Place = "cool, aired"
	Fridge    Place = "fridge"
	Freezer   Place = "freezer"
	Tank      Place = "tank"
	GasLocker Place = "gas locker"
	OnDeck    Place = "locker or deck"
)

// Result is the list for the target.
type Result struct {
	From   List             `json:"from"`
	For    Target           `json:"for"`
	Wants  []Want           `json:"wants"` // by When, then in catalogue order
	Notes  []wording.Remark `json:"notes"` // what could not be had, and cautions
	Kcal   float64          `json:"kcal_per_person_day"`
	Kg     float64          `json:"kg"`     // of what is to be bought, with packs, but for tank water
	Litres float64          `json:"litres"` // likewise, as stowed
	WaterL float64          `json:"water_l_per_person_day"`
	GasKg  float64          `json:"gas_kg_per_person_day"`
}

// Want is one thing to have aboard.
type Want struct {
	Item     pricing.ItemID   `json:"item"`
	Name     string           `json:"name"`
	Category string           `json:"category"`
	Unit     measure.Unit     `json:"unit"`
	Need     string           `json:"need,omitempty"` // the need it serves; empty for extras
	Amount   measure.Quantity `json:"amount"`         // to have aboard in all
	Aboard   measure.Quantity `json:"aboard"`         // of it already there
	Buy      measure.Quantity `json:"buy"`            // in whole packs
	Packs    []Packs          `json:"packs,omitempty"`
	When     When             `json:"when"`
	Stage    Stage            `json:"stage"`
	Place    Place            `json:"place"`
	EatBy    int              `json:"eat_by,omitempty"`  // day of the passage; 0 = keeps to the end
	Instead  bool             `json:"instead,omitempty"` // stands in for what does not keep
	Hint     string           `json:"hint,omitempty"`
}

// Packs is a number of equal packs.
type Packs struct {
	Count    int              `json:"count"`
	Quantity measure.Quantity `json:"quantity"`
	Label    string           `json:"label"`
}
