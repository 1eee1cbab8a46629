// Package inventory is what is aboard: lots, counts, expiry.
package inventory

import (
	"hardtack/pricing"
	"hardtack/pricing/calendar"
	"hardtack/pricing/measure"
)

// Lot is an amount of one item in one space.
type Lot struct {
	ID         string           `json:"id"`
	Item       pricing.ItemID   `json:"item"`
	Space      string           `json:"space"`
	Quantity   measure.Quantity `json:"quantity"` // millionths of the item's unit
	Bought     calendar.Day     `json:"bought,omitzero"`
	BestBefore calendar.Day     `json:"best_before,omitzero"`
	Note       string           `json:"note,omitempty"`
}
