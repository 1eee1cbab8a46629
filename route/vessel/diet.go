package vessel

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"hardtack/pricing"
	"hardtack/pricing/item"
	"hardtack/pricing/wording"
)

// A diet refuses items. The catalogue has no recipe of a product: a label may
// say more than we know, so lists tell the buyer to read it.
var diets = map[string]func(item.Item) bool{
	"vegetarian":   func(i item.Item) bool { return isMeat(i) || isFish(i) || i.ID == "lard" },
	"vegan":        func(i item.Item) bool { return isMeat(i) || isFish(i) || isAnimal(i) },
	"pescatarian":  func(i item.Item) bool { return isMeat(i) || i.ID == "lard" },
	"pork":         isPork,
	"halal":        func(i item.Item) bool { return isPork(i) || i.ImportClass == "ALCOHOL" },
	"kosher":       func(i item.Item) bool { return isPork(i) || has(i, "crustacean") || has(i, "shellfish") },
	"coeliac":      func(i item.Item) bool { return has(i, "gluten") || has(i, "wheat") },
	"gluten-free":  func(i item.Item) bool { return has(i, "gluten") || has(i, "wheat") },
	"dairy-free":   func(i item.Item) bool { return has(i, "milk") || isDairy(i) },
	"lactose-free": func(i item.Item) bool { return has(i, "milk") || isDairy(i) },
	"nut-free":     func(i item.Item) bool { return has(i, "nut") || has(i, "nuts") || has(i, "peanut") },
	"no-alcohol":   func(i item.Item) bool { return i.ImportClass == "ALCOHOL" },
	"meat":         isMeat,
	"fish":         isFish,
}

// Diets lists the diets that NotEating understands, in order.
func Diets() []string {
	var names []string
	for d := range diets {
		names = append(names, d)
	}
	slices.Sort(names)
	return names
}

var pork = []pricing.ItemID{
	"bacon", "ham_vac", "sausage_fresh", "salami_dry", "chorizo_dry", "frankfurters", "tin_lunchmeat", "tin_ham", "lard",
}

func isPork(i item.Item) bool { return slices.Contains(pork, i.ID) }
func isMeat(i item.Item) bool { return strings.HasPrefix(i.ImportClass, "MEAT") }
func isFish(i item.Item) bool {
	return i.ImportClass == "FISH" || has(i, "fish") || has(i, "crustacean") || has(i, "shellfish")
}

func isDairy(i item.Item) bool {
	return strings.HasPrefix(i.ImportClass, "DAIRY")
}

func isAnimal(i item.Item) bool {
	return isDairy(i) || strings.HasPrefix(i.ImportClass, "EGG") || i.ImportClass == "HONEY" ||
		has(i, "milk") || has(i, "egg") || i.ID == "lard"
}

func has(i item.Item, allergen string) bool {
	return slices.ContainsFunc(i.Allergens, func(a string) bool { return strings.EqualFold(a, allergen) })
}

// Refuses says whether the person does not eat an item offered for a need.
func (p Person) Refuses(i item.Item, need string) bool {
	return slices.ContainsFunc(p.NotEating, func(word string) bool {
		if strings.EqualFold(word, string(i.ID)) || strings.EqualFold(word, need) || has(i, word) {
			return true
		}
		diet := diets[strings.ToLower(word)]
		return diet != nil && diet(i)
	})
}

// CheckWords refuses words of NotEating that are no item, need, allergen or
// diet: a misspelt allergy must never pass for none. Its error is ErrInvalid.
func (c Crew) CheckWords(cat *item.Catalogue) error {
	known := words(cat)
	var f []error
	for i, p := range c.Persons {
		for j, w := range p.NotEating {
			if !known[strings.ToLower(w)] {
				f = append(f, fmt.Errorf("persons[%d].not_eating[%d]: %w", i, j,
					wording.Fail("fault.not_eating", wording.Text(w), wording.Text(strings.Join(Diets(), ", ")))))
			}
		}
	}
	if len(f) == 0 {
		return nil
	}
	return fmt.Errorf("crew: %w: %w", ErrInvalid, errors.Join(f...))
}

func words(cat *item.Catalogue) map[string]bool {
	known := map[string]bool{}
	for d := range diets {
		known[d] = true
	}
	for _, n := range cat.Needs {
		known[strings.ToLower(n.ID)] = true
	}
	for id, i := range cat.Items {
		known[strings.ToLower(string(id))] = true
		for _, a := range i.Allergens {
			known[strings.ToLower(a)] = true
		}
	}
	return known
}
