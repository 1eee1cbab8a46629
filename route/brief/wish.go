package brief

import (
	"math"

	"hardtack/pricing"
	"hardtack/pricing/item"
	"hardtack/pricing/measure"
	"hardtack/route/plan"
)

// never says whether the skipper will not buy an item at a stop.
func (b *builder) never(i pricing.ItemID, stop int) bool {
	p := b.ports[b.stops[stop].Call].ID
	for _, w := range b.in.Wishes {
		if w.Never && w.Item == i && (w.Port == "" || w.Port == p) {
			return true
		}
	}
	return false
}

// grantWishes turns "at least so much of it here" into packs that must be
// bought, at the first open stop of the port, in the pack that is cheapest by
// the unit; and notes what became of every wish.
func (b *builder) grantWishes() {
	for _, w := range b.in.Wishes {
		note := WishNote{Wish: w}
		_, known := b.in.Catalogue.Items[w.Item]
		switch {
		case !known:
			note.Why = "no such item in the catalogue"
		case w.Never:
			note.Granted, note.Why = true, "left out"
		case w.Least > 0:
			note.Granted, note.Why = b.atLeast(w)
		default:
			note.Why = "asks for nothing"
		}
		b.notes.Wishes = append(b.notes.Wishes, note)
	}
}

// atLeast puts a least amount on an offer, making the offer where the item was
// too uncertain to be counted on: the skipper has seen it.
func (b *builder) atLeast(w Wish) (bool, string) {
	s := b.stopAt(w.Port)
	if s < 0 {
		return false, "the voyage has no open stop at that port"
	}
	for n := range b.brief.Needs {
		for k := range b.brief.Needs[n].Items {
			it := &b.brief.Needs[n].Items[k]
			if b.served[it.ID].item.ID != w.Item {
				continue
			}
			if !b.force(it, s, w.Least) {
				return false, "no price is known or guessed for it there"
			}
			return true, "bought whatever the plan thinks"
		}
	}
	return false, "no need of this crew is served by it"
}

func (b *builder) stopAt(p pricing.PortID) int {
	for s, stop := range b.stops {
		if stop.Open && b.ports[stop.Call].ID == p {
			return s
		}
	}
	return -1
}

func (b *builder) force(it *plan.Item, s int, least float64) bool {
	best := b.cheapest(it, s)
	if best < 0 {
		i := b.served[it.ID].item
		e, ok := b.estimate(s, i.ID)
		if !ok {
			return false
		}
		it.Offers = append(it.Offers, b.offer(it.ID, s, i, usualPack(i), e))
		best = len(it.Offers) - 1
	}
	o := &it.Offers[best]
	o.Min = int(math.Ceil(least/o.Pack - 1e-9))
	if o.Limit != nil && *o.Limit < o.Min {
		most := o.Min
		o.Limit = &most
	}
	return true
}

func (b *builder) cheapest(it *plan.Item, s int) int {
	best := -1
	for k, o := range it.Offers {
		if o.Stop == s && (best < 0 || o.Price/o.Pack < it.Offers[best].Price/it.Offers[best].Pack) {
			best = k
		}
	}
	return best
}

func usualPack(i item.Item) measure.Quantity {
	if i.ListPack > 0 {
		return i.ListPack
	}
	return i.Packs[0]
}
