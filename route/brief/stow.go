package brief

import (
	"cmp"
	"fmt"
	"slices"

	"hardtack/pricing/item"
	"hardtack/route/keeping"
	"hardtack/route/plan"
	"hardtack/route/port"
	"hardtack/route/vessel"
)

// kinds says where an item may go, best place first: roots, onions, citrus in
// nets or the cool bilge; chocolate and fats where it is cool; tins never in the
// fridge; paper and dry goods only where it is dry.
func kinds(i item.Item) []vessel.SpaceKind {
	switch i.ShelfClass {
	case "frozen":
		return []vessel.SpaceKind{vessel.Freezer}
	case "chill":
		return []vessel.SpaceKind{vessel.Fridge, vessel.Freezer, vessel.Cool, vessel.Dry}
	case "cured":
		return []vessel.SpaceKind{vessel.Net, vessel.Cool, vessel.Dry, vessel.Fridge}
	case "egg":
		return []vessel.SpaceKind{vessel.Cool, vessel.Dry, vessel.Fridge}
	case "prod", "prodc":
		return []vessel.SpaceKind{vessel.Net, vessel.Cool, vessel.Fridge, vessel.Dry}
	case "bread":
		return []vessel.SpaceKind{vessel.Dry, vessel.Freezer}
	case "can", "canacid", "cond", "uht":
		return []vessel.SpaceKind{vessel.Dry, vessel.Cool}
	case "fat", "choc":
		return []vessel.SpaceKind{vessel.Cool, vessel.Dry}
	}
	switch i.Category {
	case "water":
		return waterKinds(string(i.ID))
	case "gas":
		return []vessel.SpaceKind{vessel.GasLocker}
	case "drink":
		return []vessel.SpaceKind{vessel.Dry, vessel.Cool}
	}
	return []vessel.SpaceKind{vessel.Dry}
}

// keeps says how long an item keeps in the spaces it may go to, from every
// stop: at most two spaces, for more make no better plan: the cold one where
// it lasts longest, and the best of the others.
func (b *builder) keeps(i item.Item) []plan.Keep {
	var cold, warm []plan.Keep
	for _, k := range kinds(i) {
		if b.room(k) <= 0 {
			continue
		}
		keep := plan.Keep{Space: string(k), Days: b.days(i, k)}
		switch {
		case slices.Max(keep.Days) < 1:
		case k == vessel.Fridge || k == vessel.Freezer:
			cold = append(cold, keep)
		default:
			warm = append(warm, keep)
		}
	}
	cold, warm = longest(cold, 2), longest(warm, 2)
	if len(warm) > 0 { // the fridge is for what lasts longer there
		cold = slices.DeleteFunc(cold, func(k plan.Keep) bool { return mean(k.Days) <= mean(warm[0].Days) })
	}
	if len(cold) == 0 {
		return warm
	}
	both := append(cold, warm...)
	return both[:min(2, len(both))]
}

// longest gives the n keeps of the longest mean life; of equals the first.
func longest(k []plan.Keep, n int) []plan.Keep {
	slices.SortStableFunc(k, func(x, y plan.Keep) int {
		return cmp.Compare(mean(y.Days), mean(x.Days))
	})
	return k[:min(n, len(k))]
}

func mean(x []float64) float64 {
	sum := 0.0
	for _, v := range x {
		sum += v
	}
	return ratioOr(sum, float64(len(x)), 0)
}

// days is how long an item bought at each stop keeps in a kind of space. Many
// items keep alike, so each such answer is worked out once.
func (b *builder) days(i item.Item, k vessel.SpaceKind) []float64 {
	like := alikeOf(i, k)
	if known, ok := b.lives[like]; ok {
		return slices.Clone(known)
	}
	out := make([]float64, len(b.stops))
	for s, stop := range b.stops {
		out[s] = b.metFrom(s, k).Days(i, b.keeper.horizon(stop.Depart))
	}
	b.lives[like] = out
	return slices.Clone(out)
}

// metFrom is what a kind of space meets from the departure of a stop on.
func (b *builder) metFrom(stop int, k vessel.SpaceKind) *keeping.Met {
	at := meeting{stop, k}
	if b.met[at] == nil {
		b.met[at] = b.keeper.track.Met(k, b.stops[stop].Depart)
	}
	return b.met[at]
}

type meeting struct {
	stop int
	kind vessel.SpaceKind
}

// alike is all that decides how long a thing keeps.
type alike struct {
	kind    vessel.SpaceKind
	class   string
	listed  [5]float64 // days; -1 = none
	q10     float64
	produce bool
	derived string
}

func alikeOf(i item.Item, k vessel.SpaceKind) alike {
	a := alike{kind: k, class: i.ShelfClass, q10: i.Shelf.Q10, produce: i.Shelf.Produce, derived: fmt.Sprint(i.ShelfDerived)}
	for n, d := range []*float64{i.Shelf.At20, i.Shelf.At30, i.Shelf.At16, i.Shelf.At4, i.Shelf.AtM18} {
		a.listed[n] = or(d, -1)
	}
	return a
}

// loss is the share of an item expected to spoil: fresh goods held over 5
// days lose a tenth, over 14 days a fifth (common practice, no source; learned
// from counts later). How long they are held follows from the route.
func (b *builder) loss(i item.Item, keeps []plan.Keep) float64 {
	if i.ShelfClass != "prod" && i.ShelfClass != "prodc" && i.ShelfClass != "bread" {
		return 0
	}
	life := 0.0
	for _, k := range keeps {
		life = max(life, slices.Max(k.Days))
	}
	held := min(life, longestGap(b.stops))
	switch {
	case held > 14:
		return 0.2
	case held > 5:
		return 0.1
	}
	return 0
}

// item is an alternate of a demand as an item of the brief; false when the
// boat cannot take it, as a gas cylinder of another size.
func (b *builder) item(d demand, a int, i item.Item) (plan.Item, bool) {
	alt := d.alternates[a]
	packs := b.packs(d, i, alt.Yield)
	if len(packs) == 0 {
		return plan.Item{}, false
	}
	it := plan.Item{
		ID: b.id(i.ID, d, a), Yield: alt.Yield, Litres: i.Litres, Kg: i.Kg,
		LineCost: or(b.in.Options.LineCost, lineCost*b.perRef),
		Keeps:    b.keeps(i),
	}
	switch {
	case isGas(d.need):
		it.Litres, it.Kg = alt.Yield/gasDensity, alt.Yield
	case i.ID == "water_tank":
		it.Litres, it.Kg, it.LineCost = 1, 0, 0 // by hose: nothing to find, decant or stow
	}
	loss := b.loss(i, it.Keeps)
	it.Yield *= 1 - loss
	it.SurrenderedAt = b.surrenders(it.ID, port.ClassOf(i))
	it.Offers = b.offers(d, it, i, packs)
	b.notes.Items = append(b.notes.Items, ItemNote{
		ID: it.ID, Item: i.ID, Name: i.Name, Unit: i.Unit, Need: d.id,
		Kcal: i.Kcal, ProteinG: i.ProteinG, LossPart: loss, Class: port.ClassOf(i),
	})
	return it, true
}
