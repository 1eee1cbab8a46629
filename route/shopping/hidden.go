package shopping

import (
	"slices"

	"hardtack/pricing"
	"hardtack/pricing/item"
	"hardtack/route/vessel"
)

// made are the categories whose goods are mixed from others, so that meat,
// fish, milk or alcohol may be in them without the name saying so; mixed are
// such items of other categories.
var (
	made = map[string]bool{
		"condiment": true, "snack": true, "sweet": true, "jar": true, "bread": true, "dairy": true,
		"breakfast": true, "baking": true, "meat": true, "baby": true,
	}
	mixed = map[pricing.ItemID]bool{
		"noodles_instant": true, "tin_soup": true, "tin_bakedbeans": true, "tin_chili": true, "tin_stew": true,
		"meal_pouch": true, "soup_packet": true, "sauce_packet": true, "margarine": true, "custard_powder": true,
	}
)

// Where meat hides: stock, lard, gelatine, bacon among the beans. And where
// rennet does, and wine and spirits. Common practice, no source; the label
// decides.
var (
	hidesMeat = []pricing.ItemID{
		"noodles_instant", "tin_soup", "tin_bakedbeans", "meal_pouch", "soup_packet", "sauce_packet", "stock_cubes", "pasta_sauce",
		"bread_sliced", "bread_longlife", "bread_mix", "wraps", "crackers", "biscuits_sweet", "fruit_cake", "sweets_hard", "crisps",
	}
	hidesRennet  = []pricing.ItemID{"cheese_hard", "cheese_parm", "cheese_soft", "cheese_processed", "tin_cheese", "feta_brine", "pesto"}
	hidesAlcohol = []pricing.ItemID{
		"fruit_cake", "choc_dark", "choc_milk", "mustard", "soy_sauce", "sauce_packet", "pasta_sauce", "tin_stew", "meal_pouch", "vinegar",
	}
)

// hidden narrows what breaks a diet of taste to where it may hide. A diet that
// is not here is broken by all that is mixed.
var hidden = map[string][]pricing.ItemID{
	"pescatarian": hidesMeat,
	"meat":        hidesMeat,
	"vegetarian":  slices.Concat(hidesMeat, hidesRennet),
	"no-alcohol":  hidesAlcohol,
}

// strictDiet are diets kept for health: traces count, so every label is read.
var strictDiet = map[string]bool{
	"coeliac": true, "gluten-free": true, "nut-free": true, "dairy-free": true, "lactose-free": true,
}

// ReadFor is what an item's label must be read for before a person eats of it:
// of what the person does not eat, whatever may be in it. None is no promise.
func ReadFor(p vessel.Person, i item.Item) []string {
	var words []string
	for _, w := range p.NotEating {
		if mayHold(i, w) {
			words = append(words, w)
		}
	}
	return words
}

// mayHold says whether an item might hold what a word of NotEating names. What
// an allergen or an item's name means may be in anything packed; a diet is
// broken by what is mixed.
func mayHold(i item.Item, word string) bool {
	switch i.ShelfClass {
	case "prod", "prodc", "nonfood", "inert", "egg", "":
		return false
	}
	if i.Kcal <= 0 {
		return false
	}
	if where, ok := hidden[word]; ok {
		return slices.Contains(where, i.ID)
	}
	return !slices.Contains(vessel.Diets(), word) || strictDiet[word] || made[i.Category] || mixed[i.ID]
}
