package inventory

import (
	"cmp"
	"math"
	"slices"
	"strings"

	"hardtack/pricing"
	"hardtack/pricing/calendar"
	"hardtack/pricing/item"
	"hardtack/pricing/measure"
	"hardtack/pricing/wording"
	"hardtack/route/keeping"
	"hardtack/route/vessel"
)

// What closed boxes hold without power, in hours: a fridge four, a full freezer
// forty-eight, a half-full one twenty-four (USDA-FSIS and FDA leaflets on power
// cuts, from memory).
const (
	fridgeHolds      = 4
	freezerHoldsHalf = 24
	freezerHoldsFull = 48
)

// Rescue is what to do with a lot when the cold has failed.
type Rescue struct {
	Lot     Lot              `json:"lot"`
	Name    string           `json:"name"`
	Unit    measure.Unit     `json:"unit"`
	Amount  measure.Quantity `json:"amount"`
	Hours   float64          `json:"hours"` // left from now until it must be eaten, cooked or thrown out
	Worth   float64          `json:"worth"` // guessed, EUR
	Do      wording.Remark   `json:"do"`
	Caution wording.Remark   `json:"caution,omitzero"`
}

// FridgeOff is the order in which to rescue what lies in fridge and freezer
// when they have been without power for so many hours: what turns first, of
// equals the riskier, then the dearer. ambient is the temperature around, °C.
func (b Boat) FridgeOff(lots []Lot, hoursOff, ambient float64) []Rescue {
	var out []Rescue
	for _, l := range lots {
		if kind, _ := b.Vessel.KindOf(l.Space); kind == vessel.Fridge || kind == vessel.Freezer {
			out = append(out, b.rescue(l, kind, lots, hoursOff, ambient))
		}
	}
	slices.SortStableFunc(out, func(x, y Rescue) int {
		return cmp.Or(cmp.Compare(x.Hours, y.Hours), cmp.Compare(risk(b.Catalogue.Items[y.Lot.Item]), risk(b.Catalogue.Items[x.Lot.Item])),
			cmp.Compare(y.Worth, x.Worth), cmp.Compare(x.Name, y.Name))
	})
	return out
}

// risk orders foods by what they do to people when they turn.
func risk(i item.Item) int {
	switch {
	case strings.HasPrefix(i.ImportClass, "MEAT_FRESH"), i.ImportClass == "FISH":
		return 3
	case strings.HasPrefix(i.ImportClass, "DAIRY_FRESH"), strings.HasPrefix(i.ImportClass, "EGG"), i.ImportClass == "MEAT_CURED":
		return 2
	case keeping.NeedsCold(i):
		return 1
	}
	return 0
}

func (b Boat) rescue(l Lot, kind vessel.SpaceKind, all []Lot, hoursOff, ambient float64) Rescue {
	i := b.onceChilled(b.Catalogue.Items[l.Item])
	r := Rescue{Lot: l, Name: i.Name, Unit: i.Unit, Amount: l.Quantity, Worth: l.Quantity.Units() * i.BasePrice}
	holds := float64(fridgeHolds)
	if kind == vessel.Freezer {
		holds = b.freezerHolds(all)
	}
	r.Hours = holds - hoursOff
	days, known := keeping.DaysAt(i, ambient)
	if opened, ok := keeping.OpenedDays(i, vessel.Dry); ok && !l.Opened.IsZero() {
		days = min(days, opened)
	}
	if known && days > 0 && !keeping.NeedsCold(i) {
		r.Hours = max(0, r.Hours) + 24*days
		r.Do = wording.Say("rescue.no_cold", wording.Number(math.Floor(days), 0), wording.Number(ambient, 0))
		return r
	}
	r.Caution = keeping.Caution
	switch {
	case r.Hours <= 0:
		r.Do = wording.Say("rescue.warm")
	case kind == vessel.Freezer:
		r.Do = wording.Say("rescue.shut", inHours(r.Hours))
	default:
		r.Do = wording.Say("rescue.cook", inHours(r.Hours))
	}
	return r
}

func inHours(hours float64) wording.Fact {
	return wording.Said(wording.Say("rescue.hours", wording.Number(max(1, math.Ceil(hours)), 0)))
}

// onceChilled is the kind of egg a chilled one has become: out of the fridge
// it sweats and turns in days, whatever it was before. Common practice.
func (b Boat) onceChilled(i item.Item) item.Item {
	if i.ShelfClass != "egg" {
		return i
	}
	if washed, ok := b.Catalogue.Items[pricing.ItemID("egg_washed")]; ok {
		washed.BasePrice = i.BasePrice
		return washed
	}
	return i
}

// freezerHolds is by how full the freezer is.
func (b Boat) freezerHolds(lots []Lot) float64 {
	room, filled := b.Vessel.Fillable(vessel.Freezer), 0.0
	for _, l := range lots {
		if k, _ := b.Vessel.KindOf(l.Space); k == vessel.Freezer {
			filled += l.Quantity.Units() * b.Catalogue.Items[l.Item].Litres
		}
	}
	if room <= 0 {
		return freezerHoldsHalf
	}
	share := min(1, filled/room)
	if share <= 0.5 {
		return freezerHoldsHalf * share * 2
	}
	return freezerHoldsHalf + (freezerHoldsFull-freezerHoldsHalf)*(share-0.5)*2
}

// EatsOf gives the usual use of an item from what a crew uses a day of each
// need, in need-units.
func EatsOf(cat *item.Catalogue, perDay func(item.Need) float64) Eats {
	return func(i item.Item) float64 {
		n, ok := cat.NeedOf(i.ID)
		if !ok {
			return 0
		}
		a, _ := n.Alternate(i.ID)
		return perDay(n) / a.Yield
	}
}

// PerDay is what a crew uses a day of each need on a day, from the catalogue's
// or learned rates.
func PerDay(crew vessel.Crew, on calendar.Day) func(item.Need) float64 {
	return func(n item.Need) float64 {
		return n.PerPersonDay * crew.PersonDays(on, 0, 1, func(p vessel.Person) float64 { return p.Factor(n.Appetite) })
	}
}
