package keeping

import (
	"hardtack/pricing/item"
	"hardtack/pricing/wording"
	"hardtack/route/vessel"
)

// Caution belongs beside every keeping time that is shown, EggCaution beside
// eggs.
var (
	Caution    = wording.Say("keeping.caution")
	EggCaution = wording.Say("keeping.eggs")
)

// What an opened pack keeps without a fridge, in days: wet food a day, dry
// food a fortnight. Common practice, no source.
const (
	openedWet = 1
	openedDry = 14
)

// OpenedDays is how long an opened pack stays good, false when nothing is
// known. In the fridge the catalogue's value holds; elsewhere common practice,
// and never longer than in the fridge.
func OpenedDays(i item.Item, kind vessel.SpaceKind) (float64, bool) {
	cold := kind == vessel.Fridge || kind == vessel.Freezer
	switch {
	case i.Kcal <= 0:
		return 0, false
	case cold && i.OpenedDays > 0:
		return i.OpenedDays, true
	case wetOpened(i):
		return openedWet, true
	case cold:
		return 0, false
	case i.OpenedDays > 0:
		return min(openedDry, i.OpenedDays), true
	}
	return openedDry, true
}

// wetOpened are foods that spoil within a day once open and warm.
func wetOpened(i item.Item) bool {
	switch i.ShelfClass {
	case "can", "canacid", "chill", "uht", "frozen", "egg", "prod", "prodc":
		return true
	case "cond", "inert", "fat", "sweet", "dry", "choc", "coffee", "mpow", "cured", "bread":
		return false
	}
	return i.OpenedDays > 0 && i.OpenedDays <= 5
}

// Chills says whether an item suffers from cold at a temperature, °C: fruits
// and roots of the tropics pit, brown and rot below about 12 °C (USDA Handbook
// 66, the figure is judgement).
func Chills(i item.Item, temp float64) bool {
	return i.ShelfClass == "prodc" && i.Shelf.Produce && temp < chillingBelow
}

// Reading is a temperature and where it comes from.
type Reading struct {
	TempC  float64
	Source wording.Remark
}

// ReadingOf is the temperature to reckon with in a place: as read in the
// locker, as logged for the space, else the climate of a latitude and a day of
// the year, each with its source.
func ReadingOf(l vessel.Locker, kind vessel.SpaceKind, v vessel.Vessel, lat float64, dayOfYear int) Reading {
	if l.TempC != nil {
		return Reading{*l.TempC, wording.Say("warmth.read", wording.Text(l.ID), wording.Text(l.ReadOn))}
	}
	if c, ok := v.Temp(kind); ok {
		return Reading{c, wording.Say("warmth.logged", space(kind))}
	}
	c := Climate(kind, lat, dayOfYear)
	switch kind {
	case vessel.Fridge, vessel.Freezer:
		return Reading{c, wording.Say("warmth.usual", space(kind))}
	}
	return Reading{c, wording.Say("warmth.season", wording.Number(lat, 0))}
}

func space(k vessel.SpaceKind) wording.Fact { return wording.Word("space." + string(k)) }
