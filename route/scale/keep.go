package scale

import (
	"slices"
	"strings"

	"hardtack/pricing/item"
	"hardtack/route/keeping"
)

// Temperatures aboard where nobody logged any, and how much of a fridge or
// freezer can be filled: common practice, no source.
const (
	lockerC     = 24
	coolBelow   = 4 // a cool or aired place below the dry lockers
	fridgeC     = 7
	freezerC    = -18
	fridgeFill  = 0.75
	freezerFill = 0.80
	// chillUnder is the life below which fresh vegetables and fruit are worth
	// their room in the fridge, days.
	chillUnder = 7
)

// stowed is the place an item goes to and how long it keeps there.
type stowed struct {
	place Place
	days  float64
}

// stow finds the place: the plainest in which the item keeps to the end, else
// the one in which it keeps longest. Zero days: there is no place for it.
func (t Target) stow(it item.Item) stowed {
	best := stowed{}
	for _, s := range t.places(it) {
		if s.days >= t.length() {
			return s
		}
		if s.days > best.days {
			best = s
		}
	}
	return best
}

// places an item may go to, plainest first.
func (t Target) places(it item.Item) []stowed {
	var out []stowed
	cold := keeping.NeedsCold(it)
	if !cold {
		place, temp := t.open(it)
		out = append(out, stowed{place, days(it, temp)})
	}
	if t.Fridge > 0 && suits(it, "chill", "cured", "prod", "prodc") && it.Shelf.At4 != nil {
		if s := (stowed{Fridge, days(it, fridgeC)}); cold || it.ShelfClass == "chill" || out[0].days < chillUnder {
			out = append(out, s)
		}
	}
	if t.Freezer > 0 && freezes(it) {
		out = append(out, stowed{Freezer, days(it, freezerC)})
	}
	return out
}

// freezes says what a boat's small freezer is for: meat, fish, and what is sold
// frozen.
func freezes(it item.Item) bool {
	meat := strings.HasPrefix(it.ImportClass, "MEAT") || it.ImportClass == "FISH"
	return it.Shelf.AtM18 != nil && (it.ShelfClass == "frozen" || meat && it.ShelfClass == "chill")
}

// open is the place outside the fridge.
func (t Target) open(it item.Item) (Place, float64) {
	switch {
	case it.ID == "water_tank":
		return Tank, t.lockers()
	case it.Category == "gas":
		return GasLocker, t.lockers()
	case it.Category == "water":
		return OnDeck, t.lockers()
	case suits(it, "chill", "cured", "prod", "prodc", "egg", "fat", "choc"):
		return Cool, t.lockers() - coolBelow
	}
	return Locker, t.lockers()
}

func (t Target) lockers() float64 {
	if t.LockerC == 0 {
		return lockerC
	}
	return t.LockerC
}

func (t Target) length() float64 { return t.Days + t.Reserve }

func suits(it item.Item, classes ...string) bool { return slices.Contains(classes, it.ShelfClass) }

func days(it item.Item, temp float64) float64 {
	d, _ := keeping.DaysAt(it, temp) // unknown is as good as none
	return d
}
