package shopping

import "hardtack/pricing/item"

// perishable are the keeping classes whose life begins at the shop: the later
// they are bought, the longer they last at sea.
var perishable = map[string]bool{
	"prod": true, "prodc": true, "bread": true, "chill": true, "frozen": true, "egg": true, "cured": true,
}

// Fresh goods that keep no longer than this from departure are bought on the
// last morning; those that keep longer than the second, any day. Days; common
// practice, no source.
const (
	lastMorningUpTo = 10
	lastDaysUpTo    = 90
)

// whenToBuy is when during the stay to buy an item by where it will be kept.
func whenToBuy(i item.Item, stow []Stow) When {
	if len(stow) == 0 {
		return AsYouGo
	}
	if !perishable[i.ShelfClass] {
		return Ahead
	}
	life := stow[0].Keeps // where it keeps least
	for _, s := range stow {
		life = min(life, s.Keeps)
	}
	switch {
	case life <= lastMorningUpTo, i.ShelfClass == "frozen", i.ShelfClass == "chill":
		return LastMorning
	case life <= lastDaysUpTo:
		return LastDays
	}
	return Ahead
}
