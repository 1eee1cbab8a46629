package port

import "hardtack/pricing/item"

// ClassOf is the food class of the arrival rules an item falls under. The rules
// read for fish mean fresh fish: a tin of it has a class of its own, for which
// only what is said of all food holds.
func ClassOf(i item.Item) string {
	if i.ImportClass == "FISH" && i.ShelfClass == "can" {
		return "FISH_CANNED"
	}
	return i.ImportClass
}

// IsFood says whether an arrival rule of food may speak of a class.
func IsFood(class string) bool { return class != "" && class != "NONFOOD" && class != "DRINKS" }
