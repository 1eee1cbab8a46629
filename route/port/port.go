// Package port is the gazetteer: where ports are, what they are like to shop
// in, and what their country takes away on arrival.
package port

import (
	"hardtack/pricing"
	"hardtack/pricing/money"
	"hardtack/route/geo"
)

// Port is a harbour, marina or anchorage.
type Port struct {
	ID       pricing.PortID `json:"id"`
	Name     string         `json:"name"`
	Others   []string       `json:"other_names,omitempty"` // other spellings, the island, the town nearby
	Country  string         `json:"country"`               // ISO 3166-1 alpha-2
	Zone     string         `json:"zone"`                  // biosecurity zone: EU, US-HI, EC-GAL or the country
	Island   string         `json:"island,omitempty"`      // island group sharing supply; may be empty
	Currency money.Currency `json:"currency"`
	Position geo.Position   `json:"position"`
	Approach geo.Position   `json:"approach"` // off the coast, in open water
	Size     Size           `json:"size"`
	ShopNote string         `json:"shop_note,omitempty"` // ship day, market day, closed days, with its basis
	Source   string         `json:"source"`
}

// Size of the place, which limits what one boat may fairly buy.
type Size string

// Sizes; Unknown is treated as SmallTown.
const (
	NoShop    Size = "none"
	Village   Size = "village"
	SmallTown Size = "small_town"
	Town      Size = "town"
)

// Status of a food class on arrival. Unknown is never shown as allowed.
type Status string

// Statuses as the reference speaks of them.
const (
	Prohibited  Status = "prohibited"
	Surrendered Status = "surrender_typical"
	Conditional Status = "conditional"
	Allowed     Status = "allowed"
	Unknown     Status = "unknown"
)

// Rule is what a zone says of a food class.
type Rule struct {
	Zone       string // ISO 3166-1 alpha-2 or a zone such as EU, US-HI
	Class      string // food class, "*" for all
	Status     Status
	Note       string
	Source     string
	SourceDate string
	Evidence   string // read, read-secondary, derived, memory, trade
}
