package brief

import (
	"slices"

	"hardtack/pricing"
	"hardtack/route/plan"
)

// need puts items, offers and costs to a demand.
func (b *builder) need(d demand) plan.Need {
	n := plan.Need{ID: d.id, Unit: string(d.need.Unit), UseInPort: d.inPort, UseAtSea: d.atSea}
	for a, alt := range d.alternates {
		i, ok := b.in.Catalogue.Items[alt.Item]
		if !ok || alt.Yield <= 0 {
			continue
		}
		if it, ok := b.item(d, a, i); ok {
			n.Items = append(n.Items, it)
		}
	}
	n.Reserve = b.reserve(n, d)
	b.costs(&n, d)
	return n
}

// id gives an item its id in the brief: the catalogue's, and when the item
// serves several needs, with the need behind it.
func (b *builder) id(i pricing.ItemID, d demand, a int) string {
	id := string(i)
	if b.uses[id]++; b.uses[id] > 1 {
		id += "@" + d.id
	}
	b.served[id] = servedItem{item: b.in.Catalogue.Items[i], alternate: a}
	return id
}

// alternateOf is the index of the demand's alternate behind an item.
func (b *builder) alternateOf(id string) int { return b.served[id].alternate }

// reserve is what is due of a need on every arrival: the rule of the contract,
// but nothing where no alternate would keep that long, and on the day a supply
// ship is due, what is used should it be late.
func (b *builder) reserve(n plan.Need, d demand) []float64 {
	out := make([]float64, len(b.legs))
	for l, leg := range b.legs {
		switch {
		case d.reserve != nil:
			out[l] = d.reserve[l]
		case leg.ShipWait > 0:
			out[l] = leg.ShipWait * d.inPort[l+1]
		default:
			out[l] = b.spare(n, l) * d.atSea[l]
		}
		if out[l] > 0 && !b.lastsTo(n, l) {
			out[l] = 0
		}
	}
	return out
}

// spare is for how many days a need is to be aboard on arrival after leg l. What
// is wanted at the end is not wanted of a need whose food is taken away there.
func (b *builder) spare(n plan.Need, l int) float64 {
	leg := b.legs[l]
	taken := func(it plan.Item) bool { return slices.Contains(it.SurrenderedAt, l+1) }
	if leg.Way == len(b.in.Itinerary.Ways)-1 && slices.ContainsFunc(n.Items, taken) {
		return max(0, leg.Long-leg.Days())
	}
	return leg.ReserveDays
}

// lastsTo says whether anything of a need bought before leg l can still be
// eaten when its reserve is due. Leg l follows stop l.
func (b *builder) lastsTo(n plan.Need, l int) bool {
	due := b.legs[l].Arrive + b.brief.Stops[l].ReserveDays
	for _, it := range n.Items {
		for _, k := range it.Keeps {
			for s := 0; s <= l; s++ {
				if b.stops[s].Depart+k.Days[s] >= due {
					return true
				}
			}
		}
	}
	return false
}

// dropUnsold leaves out the items that are neither sold anywhere nor aboard.
func (b *builder) dropUnsold() {
	for n := range b.brief.Needs {
		need := &b.brief.Needs[n]
		need.Items = slices.DeleteFunc(need.Items, func(it plan.Item) bool {
			return len(it.Offers) == 0 && len(it.Aboard) == 0
		})
	}
}
