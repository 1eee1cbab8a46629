package plan

import (
	"fmt"
	"math"
	"slices"
)

// Found puts a shelf the brief does not offer into it, and writes the plan
// down for that brief: a pack of another size, or a thing nobody counted on at
// that stop. It is put in at a price at which nobody would buy, so the plan's
// cost and bound stay what they are until it has its real one, see Reprice. A
// shelf that is offered gives both as they are. ErrNoOffer: the brief has no
// such item or stop, or the pack is not above 0.
func Found(b Brief, p Plan, shelf Shelf) (Brief, Plan, error) {
	if err := holds(b, p); err != nil {
		return Brief{}, Plan{}, fmt.Errorf("found: %w", err)
	}
	need, item := b.place(shelf)
	if need < 0 || shelf.Stop < 0 || shelf.Stop >= len(b.Stops) || !(shelf.Pack > 0) || math.IsInf(shelf.Pack, 1) {
		return Brief{}, Plan{}, fmt.Errorf("found: %s, %s, stop %d, pack of %g: %w", shelf.Need, shelf.Item, shelf.Stop, shelf.Pack, ErrNoOffer)
	}
	if slices.ContainsFunc(b.Needs[need].Items[item].Offers, shelf.is) {
		return b, p, nil
	}
	b.Needs = slices.Clone(b.Needs)
	n := &b.Needs[need]
	n.Items = slices.Clone(n.Items)
	it := &n.Items[item]
	it.Offers = append(slices.Clone(it.Offers), Offer{Stop: shelf.Stop, Pack: shelf.Pack, Price: n.forbidding(it, shelf.Pack)})
	c := compile(b)
	r := c.hold(p).Result()
	r.Bound = p.Bound
	return b, c.write(r), nil
}

// place is where the item of a shelf stands in the brief; -1 when nowhere.
func (b Brief) place(shelf Shelf) (need, item int) {
	need = slices.IndexFunc(b.Needs, func(n Need) bool { return n.ID == shelf.Need })
	if need < 0 {
		return -1, -1
	}
	if item = slices.IndexFunc(b.Needs[need].Items, func(it Item) bool { return it.ID == shelf.Item }); item < 0 {
		return -1, -1
	}
	return need, item
}

func (s Shelf) is(o Offer) bool { return o.Stop == s.Stop && o.Pack == s.Pack }

// forbidding is a price of a pack above what going without it can cost: a unit
// is eaten once, and lacks in at most every reserve before.
func (n *Need) forbidding(it *Item, pack float64) float64 {
	reserves := n.ReserveMissingCost * float64(len(n.UseAtSea))
	return 1 + 2*pack*it.Yield*(n.MissingCost+reserves)
}

// Together is how many packs to take when they serve several needs, each with
// its own steps.
func Together(each ...[]Step) []Step {
	var prices []float64
	for _, steps := range each {
		for _, s := range steps {
			prices = append(prices, s.UpTo)
		}
	}
	slices.Sort(prices)
	prices = slices.Compact(prices)
	slices.Reverse(prices)
	var out []Step
	for _, price := range prices {
		step := Step{UpTo: price}
		for _, steps := range each {
			step.Packs += At(steps, price)
		}
		out = append(out, step)
	}
	return out
}

// taken is how many packs of a shelf a plan buys.
func (p Plan) taken(shelf Shelf) int {
	packs := 0
	for _, x := range p.Purchases {
		if x.Need == shelf.Need && x.Item == shelf.Item && x.Stop == shelf.Stop && x.Pack == shelf.Pack {
			packs += x.Packs
		}
	}
	return packs
}

// Behind is the brief of one who has come to a stop: what the plan buys at the
// stops before is bought, and no more can be. The plan keeps its rules too, and
// its bound holds, since there is less to choose from.
func Behind(b Brief, p Plan, stop int) Brief {
	return b.WithOffers(func(need, item string, o *Offer) {
		if o.Stop < stop {
			packs := p.taken(Shelf{need, item, o.Stop, o.Pack})
			o.Min, o.Limit = packs, &packs
		}
	})
}
