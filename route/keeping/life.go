package keeping

import (
	"hardtack/pricing/item"
	"hardtack/route/vessel"
)

// step of the integral in days: three hours, so that hot afternoons count.
const step = 0.125

// Life is how long an item stays good at the temperatures it meets, tempAt
// days after the purchase, at most horizon. False when nothing is known of it
// at the first of them; where it comes to such a temperature later, or to one
// at which it must not be held, its life ends there.
func Life(it item.Item, tempAt func(day float64) float64, horizon float64) (float64, bool) {
	return life(it, tempAt, horizon, step)
}

// In is Life in a kind of space, which must suit the item.
func In(it item.Item, kind vessel.SpaceKind, tempAt func(day float64) float64, horizon float64) (float64, bool) {
	if !Suits(it, kind) {
		return 0, false
	}
	return Life(it, tempAt, horizon)
}

func life(it item.Item, tempAt func(day float64) float64, horizon, step float64) (float64, bool) {
	used, aging := 0.0, agingOf(it)
	for day := 0.0; day < horizon; day += step {
		days, known := aging.days(tempAt(day + step/2))
		if !known || days <= 0 {
			return day, known || day > 0
		}
		share := step / days
		if used+share >= 1 {
			return min(day+(1-used)*days, horizon), true
		}
		used += share
	}
	return horizon, true
}

// Suits says whether a kind of space is one the item's list knows: the freezer
// and the fridge only with a value listed for them, other spaces only for what
// may be held above the fridge's temperature.
func Suits(it item.Item, kind vessel.SpaceKind) bool {
	switch kind {
	case vessel.Freezer:
		return it.Shelf.AtM18 != nil && *it.Shelf.AtM18 > 0
	case vessel.Fridge:
		return it.Shelf.At4 != nil && *it.Shelf.At4 > 0
	}
	return !NeedsCold(it)
}

// NeedsCold says that the item must be kept in a fridge or freezer from the
// shop on: nothing, or 0 days, is listed for it in an open locker at 16 and 20 °C.
func NeedsCold(it item.Item) bool {
	for _, d := range []*float64{it.Shelf.At16, it.Shelf.At20} {
		if d != nil && *d > 0 {
			return false
		}
	}
	return true
}
