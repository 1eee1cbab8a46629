package inventory

import (
	"cmp"
	"math"
	"slices"

	"hardtack/pricing"
	"hardtack/pricing/item"
	"hardtack/pricing/wording"
	"hardtack/route/vessel"
)

// Goods are what a plan buys and wants stowed.
type Goods struct {
	Item   pricing.ItemID   `json:"item"`
	Kind   vessel.SpaceKind `json:"kind"`          // the kind of space it was planned for
	Amount float64          `json:"amount"`        // item-units
	Pack   float64          `json:"pack,omitzero"` // item-units of one pack, not to be split; 0 = any part
	First  float64          `json:"first"`         // days until the first of it is used
	Last   float64          `json:"last"`          // days until the last
}

// Placement is where goods are proposed to lie.
type Placement struct {
	Item   pricing.ItemID `json:"item"`
	Name   string         `json:"name"`
	Locker string         `json:"locker"`
	Amount float64        `json:"amount"`
	Litres float64        `json:"litres"`
	Kg     float64        `json:"kg"`
	First  float64        `json:"first"` // days until used
	Why    wording.Remark `json:"why"`
}

// Proposal is a drop-in list per locker.
type Proposal struct {
	Placed      []Placement      `json:"placed"` // by locker; within one the bottom first, what is used first on top
	Homeless    []Placement      `json:"homeless"`
	PortKg      float64          `json:"port_kg"` // of what is placed and what lies there
	StarboardKg float64          `json:"starboard_kg"`
	Said        []wording.Remark `json:"said"`
}

// watchWeek is how far ahead goods count as ready-use, in days.
const watchWeek = 7

// dense is from how many kg per litre goods are heavy: tins, bottles, sugar.
const dense = 0.75

// Propose says which locker takes what: room and weight limit kept, nothing
// where it is too wet or hot for it or beside what spoils it, heavy things low
// and on the lighter side, what is used in the first week where it can be
// reached at sea. Packs are not split. What finds no locker is homeless. It
// changes nothing it is given, and the same goods give the same proposal.
func (b Boat) Propose(aboard []Lot, goods []Goods) Proposal {
	s := stower{boat: b, cells: b.cells(aboard)}
	queue := slices.Clone(goods)
	slices.SortStableFunc(queue, func(x, y Goods) int {
		return cmp.Or(cmp.Compare(b.choices(x), b.choices(y)), cmp.Compare(b.weight(y), b.weight(x)), cmp.Compare(x.Item, y.Item))
	})
	for _, g := range queue {
		s.stow(g)
	}
	return s.proposal()
}

// weight puts what is heavy first, so that it gets the low lockers.
func (b Boat) weight(g Goods) float64 { return b.Catalogue.Items[g.Item].Kg * g.Amount }

// choices is how many lockers could take the goods at all: the choosiest first.
func (b Boat) choices(g Goods) int {
	n := 0
	for _, l := range b.Lockers {
		if k, _ := b.Vessel.KindOf(l.Space); k == g.Kind && b.refuses(l, b.Catalogue.Items[g.Item]).IsZero() {
			n++
		}
	}
	return n
}

// refuses says why a locker cannot take an item at all.
func (b Boat) refuses(l vessel.Locker, i item.Item) wording.Remark {
	switch {
	case l.Wet && !StandsWet(i):
		return wording.Say("stowage.wet", wording.Text(l.ID))
	case l.Hot && !StandsHot(i):
		return wording.Say("stowage.hot", wording.Text(l.ID))
	}
	return wording.Remark{}
}

// cell is a locker with what lies in it.
type cell struct {
	locker vessel.Locker
	kind   vessel.SpaceKind
	litres float64 // left
	kg     float64 // left
	holds  []item.Item
}

func (b Boat) cells(aboard []Lot) []*cell {
	var out []*cell
	for _, l := range b.Lockers {
		k, ok := b.Vessel.KindOf(l.Space)
		if !ok {
			continue
		}
		c := &cell{locker: l, kind: k, litres: l.Litres, kg: math.Inf(1)}
		if l.Litres == 0 {
			c.litres = math.Inf(1)
		}
		if l.MaxKg > 0 {
			c.kg = l.MaxKg
		}
		for _, lot := range aboard {
			if lot.Locker == l.ID {
				c.take(b.Catalogue.Items[lot.Item], lot.Quantity.Units())
			}
		}
		out = append(out, c)
	}
	return out
}

func (c *cell) take(i item.Item, amount float64) {
	c.litres -= amount * i.Litres
	c.kg -= amount * i.Kg
	if !slices.ContainsFunc(c.holds, func(o item.Item) bool { return o.ID == i.ID }) {
		c.holds = append(c.holds, i)
	}
}

// fits is how much of an item the cell still takes, in item-units.
func (c *cell) fits(i item.Item, pack float64) float64 {
	most := math.Inf(1)
	if i.Litres > 0 {
		most = min(most, c.litres/i.Litres)
	}
	if i.Kg > 0 {
		most = min(most, c.kg/i.Kg)
	}
	most = max(0, most)
	if pack > 0 && !math.IsInf(most, 1) {
		return math.Floor(most/pack+1e-9) * pack
	}
	return most
}

func (c *cell) apart(i item.Item) wording.Remark {
	for _, o := range c.holds {
		if why := Apart(i, o); !why.IsZero() {
			return why
		}
	}
	return wording.Remark{}
}

// sayPlace words the choice.
func (c *cell) sayPlace(i item.Item, g Goods) wording.Remark {
	switch {
	case g.First <= watchWeek && c.locker.AtSea:
		return wording.Say("stowage.sea")
	case heavy(i) && c.locker.Low:
		return wording.Say("stowage.low")
	case c.locker.Wet:
		return wording.Say("stowage.stands")
	}
	return wording.Say("stowage.day", wording.Number(g.First, 0))
}

func heavy(i item.Item) bool { return i.Litres > 0 && i.Kg/i.Litres >= dense }
