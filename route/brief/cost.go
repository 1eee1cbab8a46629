package brief

import (
	"cmp"

	"hardtack/pricing/item"
	"hardtack/route/plan"
)

// severity is what going without costs, as multiples of the need's median
// price, and at least so much per person and day in the reference currency:
// a need of cents must not be dropped to save a line of the list, nor the
// reserve of water and gas to save a trip.
type severity struct{ missing, reserve, floor, holdFloor float64 }

var severities = map[item.Necessity]severity{
	item.Safety:  {60, 4, 12, 3},
	item.Staple:  {15, 1, 0.6, 0.04},
	item.Comfort: {5, 0.3, 0.2, 0.01},
	item.Luxury:  {2, 0, 0.05, 0},
}

// costs sets what missing use and lacking reserve of a need cost, and the taste
// costs of its items, from the median price per need-unit along the route.
// The contract's rule (S−1) × reserve + taste/yield ≤ missing raises the
// first where it must.
func (b *builder) costs(n *plan.Need, d demand) {
	m := b.medianPrice(*n, d)
	b.notes.Needs = append(b.notes.Needs, NeedNote{
		ID: d.id, Name: d.name, Group: d.need.Group, Class: d.need.Class, Persons: d.persons, Median: m,
		PerUnit: cmp.Or(d.need.PerGroupUnit, 1), Water: isWater(d.need), Gas: isGas(d.need),
	})
	sev := severities[d.need.Class]
	n.MissingCost, n.ReserveMissingCost = sev.missing*m, sev.reserve*m
	if per := perPersonDay(*n, b.heads()); per > 0 {
		n.MissingCost = max(n.MissingCost, sev.floor*b.perRef/per)
		n.ReserveMissingCost = max(n.ReserveMissingCost, sev.holdFloor*b.perRef/per)
	}
	taste := 0.0
	for i := range n.Items {
		it := &n.Items[i]
		it.TasteCost = d.alternates[b.alternateOf(it.ID)].Taste * m * it.Yield
		taste = max(taste, it.TasteCost/it.Yield)
	}
	if least := float64(len(b.legs))*n.ReserveMissingCost + taste; least > n.MissingCost {
		n.MissingCost = least * (1 + 1e-9)
	}
}

// medianPrice is the median over the offers of a need of price per need-unit;
// without any offer it rests on the catalogue's guess.
func (b *builder) medianPrice(n plan.Need, d demand) float64 {
	var x []float64
	for _, it := range n.Items {
		for _, o := range it.Offers {
			x = append(x, o.Price/(o.Pack*it.Yield))
		}
	}
	if len(x) > 0 {
		return median(x)
	}
	for _, a := range d.alternates {
		if i, ok := b.in.Catalogue.Items[a.Item]; ok && i.BasePrice > 0 && a.Yield > 0 {
			x = append(x, i.BasePrice*b.perRef/a.Yield)
		}
	}
	if len(x) == 0 {
		return 5 * b.perRef
	}
	return median(x)
}

// perPersonDay is the mean use of a need over the days it is used, per head.
func perPersonDay(n plan.Need, heads float64) float64 {
	sum, count := 0.0, 0.0
	for _, x := range append(append([]float64{}, n.UseInPort...), n.UseAtSea...) {
		if x > 0 {
			sum += x
			count++
		}
	}
	if count == 0 || heads <= 0 {
		return 0
	}
	return sum / count / heads
}

// heads is the mean number of people aboard over the voyage.
func (b *builder) heads() float64 {
	last := b.stops[len(b.stops)-1].Depart
	return b.mean(0, last, b.everybody(), func(int) float64 { return 1 })
}
