package inventory

import (
	"slices"

	"hardtack/pricing"
	"hardtack/pricing/item"
	"hardtack/pricing/wording"
)

// What may not lie beside what: common practice, no source, save that ripening
// fruit gives off ethylene (USDA Handbook 66). In a locker the air is shared.
var (
	ethyleneMakers = []pricing.ItemID{
		"apple", "pear", "banana_green", "avocado_hard", "tomato_green", "tomato_ripe", "mango", "melon", "kiwifruit", "papaya",
	}
	ethyleneHarms = []pricing.ItemID{
		"cabbage_white", "cabbage_red", "carrot", "lettuce", "broccoli", "cauliflower", "cucumber", "celery", "leek", "green_beans",
		"courgette", "aubergine", "herbs_fresh", "potato", "sweet_potato", "kiwifruit", "squash_winter", "pumpkin",
	}
	onions = []pricing.ItemID{"onion", "garlic"}
	roots  = []pricing.ItemID{"potato", "sweet_potato", "yam", "taro", "cassava"}
	smelly = []pricing.ItemID{
		"laundry_liquid", "bleach", "dish_soap", "dish_soap_sea", "soap", "shampoo", "white_vinegar_clean", "insect_repellent",
		"boric_bait", "alcohol_fuel", "sunscreen", "lighters", "matches",
	}
	// meltsOrRots must not lie hot: chocolate, fats, tins (seams and lacquer).
	hotClasses = []string{"choc", "fat", "can", "canacid", "chill", "egg", "prod", "prodc", "sweet"}
	watertight = []string{"plastic", "glass", "pouch", "cylinder", "tank"}
)

// takesUp are foods that take on a smell: dry goods in paper and bags, and fats.
func takesUp(i item.Item) bool {
	return i.Kcal > 0 && slices.Contains([]string{"paper", "bag", "carton", "wrap", "foil", "loose", ""}, i.Packaging)
}

// StandsWet says whether an item may lie in a wet locker: bottles and plastic
// only, for paper drinks and tins rust.
func StandsWet(i item.Item) bool { return slices.Contains(watertight, i.Packaging) }

// StandsHot says whether an item may lie on the engine side or under the deck.
func StandsHot(i item.Item) bool { return !slices.Contains(hotClasses, i.ShelfClass) }

// Apart says why two items must not share a locker; nothing when they may.
func Apart(a, b item.Item) wording.Remark {
	named := func(i item.Item) wording.Fact { return wording.Item(string(i.ID), i.Name) }
	for range 2 {
		switch in := slices.Contains[[]pricing.ItemID]; {
		case in(ethyleneMakers, a.ID) && in(ethyleneHarms, b.ID):
			return wording.Say("stowage.ripens", named(a), named(b))
		case in(onions, a.ID) && in(roots, b.ID):
			return wording.Say("stowage.each_other", named(a), named(b))
		case in(smelly, a.ID) && takesUp(b):
			return wording.Say("stowage.smell", named(b), named(a))
		}
		a, b = b, a
	}
	return wording.Remark{}
}
