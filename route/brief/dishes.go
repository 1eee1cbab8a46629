package brief

import (
	"slices"

	"hardtack/pricing/item"
	"hardtack/pricing/wording"
	"hardtack/route/vessel"
)

// fixedDemands are the demands of the fixed dishes, one for each table of
// persons who eat the same alternates.
func (b *builder) fixedDemands() []demand {
	cat := &item.Catalogue{Items: b.in.Catalogue.Items}
	for _, f := range fixedNeeds {
		cat.Needs = append(cat.Needs, f.need)
	}
	masks := eatersOf(b.in.Crew, cat, true)
	parts := b.partsOfDishes(masks)
	var out []demand
	for n, f := range fixedNeeds {
		for k, t := range tables(parts, masks, n) {
			d := b.tableDemand(f.need, k, t)
			d.inPort = make([]float64, len(b.stops))
			for _, l := range b.legs {
				x := 0.0
				if l.Days() > 0 {
					x = b.mean(l.Depart, l.Arrive, t.persons, func(p int) float64 {
						return parts[p][n] * f.rate(b, l, b.in.Crew.Persons[p])
					})
				}
				d.atSea = append(d.atSea, x)
				d.reserve = append(d.reserve, x*max(0, l.Long-l.Days())) // nobody wants them in port
			}
			out = append(out, d)
		}
	}
	return append(out, b.emergencyDemand())
}

// partsOfDishes says, for every person and fixed need, which part of the dish
// it serves: who does not eat one need of a dish eats the others instead.
func (b *builder) partsOfDishes(masks eaters) rates {
	r := make(rates, len(masks))
	for p, person := range b.in.Crew.Persons {
		r[p] = make([]float64, len(fixedNeeds))
		for n, f := range fixedNeeds {
			if !b.everWants(f, person) {
				continue
			}
			if eaten := eatenParts(f.dish, masks[p]); eaten > 0 && masks[p][n] != 0 {
				r[p][n] = f.part / eaten
			} else if eaten == 0 {
				b.notes.say(wording.Say("brief.none_eats", wording.Need(f.need.ID, f.need.Name), wording.Text(nameOf(person))))
			}
		}
	}
	return r
}

// eatenParts adds up the needs of a dish that a person eats something of.
func eatenParts(dish string, mask []uint64) float64 {
	sum := 0.0
	for n, f := range fixedNeeds {
		if f.dish == dish && mask[n] != 0 {
			sum += f.part
		}
	}
	return sum
}

func (b *builder) everWants(f fixedNeed, p vessel.Person) bool {
	return slices.ContainsFunc(b.legs, func(l Leg) bool { return l.Days() > 0 && f.rate(b, l, p) > 0 })
}
