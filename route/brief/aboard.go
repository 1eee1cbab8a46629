package brief

import (
	"math"

	"hardtack/pricing"
	"hardtack/pricing/wording"
	"hardtack/route/inventory"
	"hardtack/route/keeping"
	"hardtack/route/plan"
	"hardtack/route/vessel"
)

// shareLots puts what is aboard on day 0 to the items of the brief. Where an
// item serves several needs its lots are shared by what those needs use.
func (b *builder) shareLots() {
	b.gasAboard()
	places := b.places()
	for _, lot := range b.in.Lots {
		at := b.placesFor(lot, places[lot.Item])
		if len(at) == 0 && lot.For != inventory.Eaten {
			b.notes.say(wording.Say("brief.held", b.itemFact(lot.Item), wording.Word("held."+string(lot.For))))
			continue
		}
		if len(at) == 0 {
			b.notes.say(wording.Say("brief.unneeded", b.itemFact(lot.Item)))
			continue
		}
		for _, p := range at {
			if l, ok := b.lot(lot, p.share); ok {
				b.lotTo(p, l)
			}
		}
	}
}

// placesFor leaves out what a lot is not for: what is for barter or under seal
// feeds nobody, the grab-bag counts for emergency meals alone.
func (b *builder) placesFor(lot inventory.Lot, at []place) []place {
	switch lot.For {
	case inventory.Barter, inventory.Bonded:
		return nil
	case inventory.Emergency:
		for _, p := range at {
			if b.brief.Needs[p.need].ID == emergency {
				p.share = 1
				return []place{p}
			}
		}
		return nil
	}
	return at
}

// place is an item of the brief and its share of a catalogue item's lots.
type place struct {
	need, item int
	share      float64
}

func (b *builder) places() map[pricing.ItemID][]place {
	out := map[pricing.ItemID][]place{}
	total := map[pricing.ItemID]float64{}
	for n, need := range b.brief.Needs {
		for i, it := range need.Items {
			id := b.served[it.ID].item.ID
			wanted := b.wanted(need) / it.Yield
			out[id] = append(out[id], place{n, i, wanted})
			total[id] += wanted
		}
	}
	for id, at := range out {
		for k := range at {
			at[k].share = ratioOr(at[k].share, total[id], 1/float64(len(at)))
		}
	}
	return out
}

func ratioOr(a, b, otherwise float64) float64 {
	if b <= 0 {
		return otherwise
	}
	return a / b
}

// wanted is all a need uses over the voyage, or its largest reserve where it
// is only held.
func (b *builder) wanted(n plan.Need) float64 {
	sum, held := 0.0, 0.0
	for s, stop := range b.stops {
		sum += n.UseInPort[s] * (stop.Depart - stop.Arrive)
	}
	for l, leg := range b.legs {
		sum += n.UseAtSea[l] * leg.Days()
		held = max(held, n.Reserve[l])
	}
	return max(sum, held)
}

func (b *builder) lotTo(p place, l plan.Lot) {
	it := &b.brief.Needs[p.need].Items[p.item]
	it.Aboard = append(it.Aboard, l)
}

// lot is a share of a lot aboard as the brief has it; false when nothing of it
// can still be eaten.
func (b *builder) lot(lot inventory.Lot, share float64) (plan.Lot, bool) {
	kind, ok := b.in.Vessel.KindOf(lot.Space)
	if !ok || b.room(kind) <= 0 {
		b.notes.say(wording.Say("brief.no_space", b.itemFact(lot.Item), wording.Text(lot.Space)))
		kind = vessel.Dry
	}
	if b.room(kind) <= 0 {
		return plan.Lot{}, false
	}
	i := b.in.Catalogue.Items[lot.Item]
	opened, _ := keeping.OpenedDays(i, kind)
	expires := lot.Expires(b.in.Itinerary.Start, b.keeper.Life(i, kind, 0), opened)
	if expires <= 0 {
		b.notes.say(wording.Say("brief.past", b.itemFact(lot.Item), wording.Text(lot.Space)))
		return plan.Lot{}, false
	}
	amount := lot.Quantity.Units() * share
	return plan.Lot{Space: string(kind), Amount: amount, Expires: expires}, amount > 0
}

// gasAboard is what is left in the cylinders; it never spoils.
func (b *builder) gasAboard() {
	left := b.in.Vessel.GasKg()
	if left <= 0 {
		return
	}
	for n, need := range b.brief.Needs {
		if i := gasItem(need); i >= 0 && isGas(b.catalogueNeed(need.ID)) {
			yield := need.Items[i].Yield
			b.lotTo(place{need: n, item: i}, plan.Lot{Space: string(vessel.GasLocker), Amount: left / yield, Expires: never})
			return
		}
	}
}

// never is longer than any voyage, in days.
const never = 36500.0

func gasItem(n plan.Need) int {
	if len(n.Items) == 0 {
		return -1
	}
	best, id := 0, math.Inf(1)
	for i, it := range n.Items {
		if d := math.Abs(it.Yield - 1); d < id {
			best, id = i, d
		}
	}
	return best
}

func (b *builder) itemFact(id pricing.ItemID) wording.Fact {
	name := string(id)
	if i, ok := b.in.Catalogue.Items[id]; ok {
		name = i.Name
	}
	return wording.Item(string(id), name)
}
