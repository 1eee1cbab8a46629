package brief

import (
	"math"
	"slices"

	"hardtack/pricing"
	"hardtack/pricing/item"
	"hardtack/pricing/measure"
	"hardtack/route/plan"
	"hardtack/route/port"
)

// packElasticity is how fast the price per unit falls with the size of the
// pack: price per unit ∝ size^−0.2, the middle of the estimating model's prior
// (a 24-pack at 2.7 times a 6-pack would be 0.28; Hendel & Nevo's figure).
const packElasticity = 0.20

// fairLimit is the most packs of an item one boat takes by size of the place,
// so that the village has some left; 0 = no limit.
var fairLimit = map[port.Size]int{port.Village: 6, port.SmallTown: 20}

// An opened pack keeps so many days where nothing better is known.
const (
	wetOpenWarm = 1.0  // no fridge
	wetOpenCold = 4.0  // in the fridge
	dryOpen     = 14.0 // no fridge aboard: damp gets in
	dryOpenJar  = 45.0
)

// packs are the packs of an item that are offered: the usual one and the
// biggest the crew can finish once it is opened. A pack it cannot finish is
// offered only when there is no smaller one.
func (b *builder) packs(d demand, i item.Item, yield float64) []measure.Quantity {
	if isGas(d.need) {
		return b.gasPacks(i, yield)
	}
	if i.ID == "water_tank" {
		return []measure.Quantity{usualPack(i)}
	}
	all := slices.Clone(i.Packs)
	if len(all) == 0 {
		all = []measure.Quantity{i.ListPack}
	}
	slices.Sort(all)
	perDay := 0.0
	for _, x := range slices.Concat(d.inPort, d.atSea) {
		perDay = max(perDay, x)
	}
	open := b.openedLife(i)
	fit := slices.DeleteFunc(slices.Clone(all), func(q measure.Quantity) bool {
		return perDay > 0 && sealed(i, q, all[0]).Units()*yield/perDay > open
	})
	if len(fit) == 0 {
		return all[:1]
	}
	biggest := fit[len(fit)-1]
	if i.ListPack < biggest && slices.Contains(fit, i.ListPack) {
		return []measure.Quantity{i.ListPack, biggest}
	}
	return []measure.Quantity{biggest}
}

// sealed is what is opened at once of a pack: all of it, but of several tins,
// cartons or jars sold together only one.
func sealed(i item.Item, q, smallest measure.Quantity) measure.Quantity {
	switch i.Packaging {
	case "tin", "carton", "glass", "can", "sachet", "pouch", "foil":
		if smallest > 0 && q%smallest == 0 {
			return smallest
		}
	}
	return q
}

// gasPacks are the cylinders of the boat that an item refills: sold by the
// kilogram it fills any, sold by the cylinder only those of about its size.
func (b *builder) gasPacks(i item.Item, yield float64) []measure.Quantity {
	var out []measure.Quantity
	for _, c := range b.in.Vessel.Cylinders {
		q := measure.One
		if i.Unit == measure.Kilogram {
			q = measure.Of(c.Kg)
		} else if math.Abs(c.Kg-yield) > 0.15*c.Kg {
			continue
		}
		if !slices.Contains(out, q) {
			out = append(out, q)
		}
	}
	return out
}

// openedLife is how long an opened pack can be eaten from, in days. Pieces,
// loose goods and what never spoils stay closed or do not care.
func (b *builder) openedLife(i item.Item) float64 {
	fridge := b.room("fridge") > 0
	switch i.ShelfClass {
	case "nonfood", "inert", "prod", "prodc", "frozen", "egg", "sweet":
		return math.Inf(1)
	}
	wet := slices.Contains([]string{"can", "canacid", "cond", "uht", "chill", "cured"}, i.ShelfClass)
	switch {
	case i.Unit == measure.Each || i.Packaging == "loose":
		return math.Inf(1)
	case fridge && i.OpenedDays > 0:
		return i.OpenedDays
	case wet && fridge:
		return wetOpenCold
	case wet:
		return wetOpenWarm
	case fridge:
		return dryOpenJar
	}
	return dryOpen
}

// offers are the packs of an item at every open stop where it is likely
// enough to be found.
func (b *builder) offers(d demand, it plan.Item, i item.Item, packs []measure.Quantity) []plan.Offer {
	var out []plan.Offer
	for s, stop := range b.stops {
		if !b.sold(i, stop) || b.never(i.ID, s) {
			continue
		}
		e, ok := b.estimate(s, i.ID)
		if !ok || e.Available < b.in.Options.threshold(d.need.Class) {
			continue
		}
		for _, q := range packs {
			out = append(out, b.offer(it.ID, s, i, q, e))
		}
	}
	return out
}

// sold says whether an item can be had at a stop at all. A hose runs on days
// without a shop or ship, where anybody lives.
func (b *builder) sold(i item.Item, s Stop) bool {
	return s.Open || i.ID == "water_tank" && !b.in.Itinerary.Calls[s.Call].NoShops
}

func (b *builder) estimate(stop int, i pricing.ItemID) (pricing.Estimate, bool) {
	p := b.ports[b.stops[stop].Call]
	if p.Size == port.NoShop {
		return pricing.Estimate{}, false
	}
	e, ok := b.in.Prices.At(p.ID, i)
	return e, ok && e.Price > 0 && !math.IsInf(e.Price, 0)
}

// offer prices one pack: the expected price, which lies above the median by
// the spread, in the home currency, dearer by what one expects to throw away.
func (b *builder) offer(id string, s int, i item.Item, q measure.Quantity, e pricing.Estimate) plan.Offer {
	factor := q.Units() * b.perRef
	if !byMeasure(i) {
		factor *= packFactor(q, i.ListPack)
	}
	sd := min(e.LogSD, 0.6)
	mean := e.Price * math.Exp(sd*sd/2) * factor / (1 - min(e.Goods.Lost, 0.5))
	p := b.ports[b.stops[s].Call]
	note := OfferNote{
		Item: id, Stop: s, Pack: q, Price: mean, Low80: e.Low80 * factor, High80: e.High80 * factor,
		Currency: p.Currency, Estimate: e, Guess: e.Basis == pricing.BasisGuess,
	}
	if rate, err := b.rateOf(p); err == nil {
		note.Local = mean / b.perRef * rate
	}
	b.notes.Offers = append(b.notes.Offers, note)
	return plan.Offer{Stop: s, Pack: q.Units(), Price: mean, Limit: b.limit(p, i)}
}

// packFactor is what a unit costs in a pack against in the usual one; sizes
// further than tenfold from it are priced as tenfold.
func packFactor(q, list measure.Quantity) float64 {
	if q <= 0 || list <= 0 {
		return 1
	}
	x := math.Log(q.Units() / list.Units())
	return math.Exp(-packElasticity * min(max(x, -math.Ln10), math.Ln10))
}

func (b *builder) rateOf(p port.Port) (float64, error) {
	if p.Currency == b.in.Prices.Currency {
		return 1, nil
	}
	rate, _, err := b.in.Rate(p.Currency)
	return rate, err
}

// limit leaves some for the village; water and gas are not counted in packs.
func (b *builder) limit(p port.Port, i item.Item) *int {
	most, ok := fairLimit[sizeOf(p)]
	if !ok || byMeasure(i) {
		return nil
	}
	return &most
}

// byMeasure are water and gas: sold by the litre and the kilogram whatever is
// filled with them.
func byMeasure(i item.Item) bool { return i.Category == "water" || i.Category == "gas" }
