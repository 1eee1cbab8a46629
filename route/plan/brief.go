// Package plan decides what to buy where, how much, and in which space to
// stow it: a pure function from a Brief to a Plan with a proven bound.
//
// Units: days since the brief's start; money in the brief's currency; use in
// need-units; lots in item-units; litres and kilograms as stowed.
package plan

// Brief is everything the planner may know. Field names are the contract.
type Brief struct {
	Version  int     `json:"brief"` // 1
	Currency string  `json:"currency"`
	Start    string  `json:"start"`
	Stops    []Stop  `json:"stops"`
	Stowage  Stowage `json:"stowage"`
	Needs    []Need  `json:"needs"`
}

// Stop is a call in route order. Arrive and Depart are days since Start.
type Stop struct {
	Port        string   `json:"port"`
	Arrive      float64  `json:"arrive"`
	Depart      float64  `json:"depart"`
	TripCost    float64  `json:"trip_cost"`
	TripCarryKg *float64 `json:"trip_carry_kg,omitempty"` // nil: no limit
	ReserveDays float64  `json:"reserve_days,omitempty"`  // of the leg after this stop
}

// Stowage is the room aboard.
type Stowage struct {
	PayloadKg *float64 `json:"payload_kg,omitempty"` // nil: no limit
	Spaces    []Space  `json:"spaces"`
}

// Space is one stowage space.
type Space struct {
	ID     string  `json:"id"`
	Litres float64 `json:"litres"`
}

// Need is what the crew must have; one or more Items serve it.
type Need struct {
	ID                 string    `json:"id"`
	Unit               string    `json:"unit"`
	UseInPort          []float64 `json:"use_in_port"` // S, need-units a day
	UseAtSea           []float64 `json:"use_at_sea"`  // S-1, need-units a day
	MissingCost        float64   `json:"missing_cost"`
	ReserveMissingCost float64   `json:"reserve_missing_cost"`
	Reserve            []float64 `json:"reserve,omitempty"` // S-1, need-units due on arrival
	Items              []Item    `json:"items"`
}

// Item serves a need with Yield need-units per item-unit.
type Item struct {
	ID            string  `json:"id"`
	Yield         float64 `json:"yield"`
	TasteCost     float64 `json:"taste_cost"`
	Litres        float64 `json:"litres"`
	Kg            float64 `json:"kg"`
	LineCost      float64 `json:"line_cost"`
	Keeps         []Keep  `json:"keeps"`
	SurrenderedAt []int   `json:"surrendered_at,omitempty"`
	Aboard        []Lot   `json:"aboard,omitempty"`
	Offers        []Offer `json:"offers"`
}

// Keep says how long an item keeps in a space: Days from the departure of the
// stop where it was bought, one number per stop.
type Keep struct {
	Space string    `json:"space"`
	Days  []float64 `json:"days"`
}

// Lot is held on day 0.
type Lot struct {
	Space   string  `json:"space"`
	Amount  float64 `json:"amount"`
	Expires float64 `json:"expires"`
}

// Offer is a pack that can be bought at a stop.
type Offer struct {
	Stop  int     `json:"stop"`
	Pack  float64 `json:"pack"`
	Price float64 `json:"price"`
	Limit *int    `json:"limit,omitempty"` // most packs to be had; nil: no limit
	Min   int     `json:"min,omitempty"`   // packs that must be bought
}
