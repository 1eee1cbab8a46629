package arrival

import (
	"fmt"
	"strings"

	"hardtack/pricing"
	"hardtack/pricing/item"
	"hardtack/pricing/measure"
	"hardtack/route/inventory"
	"hardtack/route/port"
)

// Sealed is the list of stores an officer may put under seal: alcohol, and what
// is held in bond.
type Sealed struct {
	Lines     []SealedLine     `json:"lines"`
	Litres    []Drink          `json:"litres"`    // by kind, beside what was read of the limits
	Allowance []port.Allowance `json:"allowance"` // per adult, as read; none means not read
	Words     string           `json:"words"`
}

// SealedLine is a lot that belongs behind the seal.
type SealedLine struct {
	Lot    string           `json:"lot"`
	Item   pricing.ItemID   `json:"item"`
	Name   string           `json:"name"`
	Amount measure.Quantity `json:"amount"`
	Unit   measure.Unit     `json:"unit"`
	Place  string           `json:"place"`
}

// Drink is how much of a kind there is.
type Drink struct {
	Kind   string  `json:"kind"`
	Litres float64 `json:"litres"`
	Limit  float64 `json:"limit"` // all adults together; 0 = none read
	Over   bool    `json:"over"`
}

// drinkKinds tell drinks apart as customs do.
var drinkKinds = []string{"spirits", "wine", "beer"}

func drinkKind(i item.Item) string {
	for _, k := range drinkKinds {
		if strings.Contains(string(i.ID), k) {
			return k
		}
	}
	return "other"
}

func seal(lots []inventory.Lot, cat *item.Catalogue, rules Rules, v Voyage) Sealed {
	s := Sealed{Allowance: rules.Alcohol(v.To.Zone)}
	sums := map[string]float64{}
	for _, l := range lots {
		i := cat.Items[l.Item]
		if i.ImportClass != "ALCOHOL" && l.For != inventory.Bonded {
			continue
		}
		s.Lines = append(s.Lines, SealedLine{l.ID, i.ID, i.Name, l.Quantity, i.Unit, l.Place()})
		if i.ImportClass == "ALCOHOL" {
			sums[drinkKind(i)] += l.Quantity.Units() * litresOf(i)
		}
	}
	for _, k := range append(append([]string{}, drinkKinds...), "other") {
		if sums[k] == 0 {
			continue
		}
		d := Drink{Kind: k, Litres: sums[k], Limit: limit(s.Allowance, k) * float64(v.Adults)}
		d.Over = d.Limit > 0 && d.Litres > d.Limit
		s.Litres = append(s.Litres, d)
	}
	if most := limit(s.Allowance, "any_alcohol") * float64(v.Adults); most > 0 {
		all := 0.0
		for _, x := range sums {
			all += x
		}
		s.Litres = append(s.Litres, Drink{"all drinks", all, most, all > most})
	}
	return s
}

// litresOf is the drink in one item-unit.
func litresOf(i item.Item) float64 {
	if i.Unit == measure.Litre {
		return 1
	}
	return i.Kg
}

// limit is the least that was read for a kind, litres per adult; 0 = none.
func limit(read []port.Allowance, kind string) float64 {
	least := 0.0
	for _, a := range read {
		if a.Unit == "L" && strings.Contains(a.Kind, kind) && (least == 0 || a.Amount < least) {
			least = a.Amount
		}
	}
	return least
}

// words say what to do with them, by the name of the zone.
func (s Sealed) words(zone string, adults int) string {
	switch {
	case len(s.Lines) == 0:
		return "Nothing to seal by the book."
	case len(s.Allowance) == 0:
		return "No limit was read for " + zone + ": that is not the same as none. Put all of it into one locker that can be sealed and declare it."
	}
	over := ""
	for _, d := range s.Litres {
		if d.Over {
			over += fmt.Sprintf(" %.1f L of %s is above the %.1f L read for %d adults.", d.Litres, d.Kind, d.Limit, adults)
		}
	}
	return "Put all of it into one locker that can be sealed, with this list." + over + " Limits are as read and may be old; ask."
}
