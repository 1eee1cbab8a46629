// Package inventory is what is aboard: lots in spaces and lockers, what came,
// went and was moved, counts and what they tell, expiry, where to stow.
//
// Units: quantities in millionths of an item's unit, litres, kilograms, days.
// Nothing here changes the lots it is given.
package inventory

import (
	"hardtack/pricing"
	"hardtack/pricing/calendar"
	"hardtack/pricing/measure"
)

// Lot is an amount of one item in one place.
type Lot struct {
	ID         string           `json:"id"`
	Item       pricing.ItemID   `json:"item"`
	Space      string           `json:"space"`
	Locker     string           `json:"locker,omitempty"` // within the space; empty = anywhere in it
	Quantity   measure.Quantity `json:"quantity"`         // millionths of the item's unit
	Pack       measure.Quantity `json:"pack,omitzero"`    // one pack of it; 0 = loose or not known
	Bought     calendar.Day     `json:"bought,omitzero"`
	Port       pricing.PortID   `json:"port,omitempty"` // where bought
	BestBefore calendar.Day     `json:"best_before,omitzero"`
	Opened     calendar.Day     `json:"opened,omitzero"`
	For        Purpose          `json:"for,omitempty"`
	Note       string           `json:"note,omitempty"`
}

// Purpose says that a lot is not for the table.
type Purpose string

// Lots are eaten unless they are held for one of these.
const (
	Eaten     Purpose = ""
	Barter    Purpose = "barter"    // gifts and trade goods: a stock of its own
	Emergency Purpose = "emergency" // grab-bag and safety stock, never lunch
	Bonded    Purpose = "bonded"    // sealed by customs: not to be touched
)

// Place is where the lot lies, as people say it.
func (l Lot) Place() string {
	if l.Locker != "" {
		return l.Locker
	}
	return l.Space
}
