// Package pest keeps insects out of the dry stores, and says what to do when
// they are in.
//
// Units: °C, days. Temperatures and times of development are published values,
// named beside each; what is not is common practice and says so.
package pest

import (
	"cmp"
	"math"
	"slices"

	"hardtack/pricing/item"
	"hardtack/pricing/wording"
	"hardtack/route/inventory"
)

// Temperatures that matter to most stored-product insects: they breed fastest
// between the first two, and die in time below Dies and above TooHot (P. G.
// Fields 1992, J. Stored Prod. Res. 28:89–118, abstract read).
const (
	BestLow, BestHigh = 25, 35
	Dies              = 13
	TooHot            = 35
)

// GranariusDays is how long the granary weevil takes from egg to adult at a
// constant temperature: 562.36 degree-days above 9.97 °C (Omar et al. 2014,
// Arch. Phytopath. 47:555, read). +Inf where it does not develop.
func GranariusDays(temp float64) float64 {
	const threshold, degreeDays = 9.97, 562.36
	if temp <= threshold || temp > TooHot {
		return math.Inf(1)
	}
	return degreeDays / (temp - threshold)
}

// castaneum has the generation times of the red flour beetle at 75 % humidity
// (J. Henan Univ. Technol., abstract read).
var castaneum = []struct{ temp, days float64 }{{25, 38.5}, {30, 31.7}, {35, 25.0}}

// CastaneumDays is a generation of the red flour beetle, straight between the
// published temperatures and going on to where beetles stop, 14 °C (Stejskal et
// al. 2019, Insects 10:149, read).
func CastaneumDays(temp float64) float64 {
	const stops = 14
	if temp <= stops || temp > TooHot {
		return math.Inf(1)
	}
	first, last := castaneum[0], castaneum[len(castaneum)-1]
	if temp < first.temp { // a constant sum of degrees below the coolest published
		return first.days * (first.temp - stops) / (temp - stops)
	}
	for k := 1; k < len(castaneum); k++ {
		a, b := castaneum[k-1], castaneum[k]
		if temp <= b.temp {
			return a.days + (b.days-a.days)*(temp-a.temp)/(b.temp-a.temp)
		}
	}
	return last.days
}

// proof are packs no insect gets into: tin and glass with a tight lid are the
// only ones proof against all; plastic resists by its thickness; paper and thin
// film least (Riudavets 2007, Chung 2011, from a review).
var (
	proof = []string{"tin", "can", "glass", "cylinder", "tank"}
	weak  = []string{"paper", "film", "carton", "bag", "loose", "wrap", "sachet"}
)

// Risk is how likely insects are in a lot.
type Risk struct {
	Lot   inventory.Lot  `json:"lot"`
	Name  string         `json:"name"`
	Place string         `json:"place"`
	Level int            `json:"level"` // 0 none, 1 low, 2 middling, 3 high
	Why   wording.Remark `json:"why"`
	Do    wording.Remark `json:"do"`
}

// Seen is where pests were reported: by item, port or locker.
type Seen func(l inventory.Lot) bool

// Risks rates every lot that could harbour insects, the worst first.
func Risks(lots []inventory.Lot, cat *item.Catalogue, temp func(inventory.Lot) float64, seen Seen) []Risk {
	var out []Risk
	for _, l := range lots {
		if r := risk(l, cat.Items[l.Item], temp(l), seen(l)); r.Level > 0 {
			out = append(out, r)
		}
	}
	slices.SortStableFunc(out, func(a, b Risk) int { return cmp.Or(b.Level-a.Level, cmp.Compare(a.Name, b.Name)) })
	return out
}

func risk(l inventory.Lot, i item.Item, temp float64, seen bool) Risk {
	r := Risk{Lot: l, Name: i.Name, Place: l.Place(), Level: i.PestRisk}
	switch {
	case i.PestRisk == 0:
		return r
	case slices.Contains(proof, i.Packaging) && l.Opened.IsZero():
		return Risk{Lot: l, Name: i.Name}
	}
	r.Why = wording.Say("pest.food")
	if slices.Contains(weak, i.Packaging) {
		r.Why = wording.Say("pest.weak")
	}
	if seen {
		r.Level = 3
		r.Why = wording.Both(r.Why, wording.Say("pest.seen"))
	}
	degrees := wording.Number(temp, 0)
	switch days := CastaneumDays(temp); {
	case temp < Dies:
		r.Level = max(1, r.Level-1)
		r.Why = wording.Both(r.Why, wording.Say("pest.dies", degrees))
	case math.IsInf(days, 1):
		r.Why = wording.Both(r.Why, wording.Say("pest.rests", degrees))
	default:
		r.Why = wording.Both(r.Why, wording.Say("pest.breeds", degrees, wording.Number(days, 0)))
	}
	r.Do = wording.Say("pest.jar")
	if r.Level >= 3 {
		r.Do = wording.Both(wording.Say("pest.kill"), r.Do)
	}
	return r
}

// Neighbours are the lots to inspect when pests turned up in one: whatever lies
// in the same locker and is not proof, what they like best first.
func Neighbours(in inventory.Lot, lots []inventory.Lot, cat *item.Catalogue) []Risk {
	var out []Risk
	for _, l := range lots {
		i := cat.Items[l.Item]
		if l.ID == in.ID || l.Space != in.Space || l.Locker != in.Locker || i.Kcal <= 0 {
			continue
		}
		if slices.Contains(proof, i.Packaging) && l.Opened.IsZero() {
			continue
		}
		out = append(out, Risk{
			Lot: l, Name: i.Name, Place: l.Place(), Level: max(1, i.PestRisk), Why: wording.Say("pest.beside", wording.Place(l.Place())),
			Do: wording.Say("pest.inspect"),
		})
	}
	slices.SortStableFunc(out, func(a, b Risk) int { return cmp.Or(b.Level-a.Level, cmp.Compare(a.Name, b.Name)) })
	return out
}
