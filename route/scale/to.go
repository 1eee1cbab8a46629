package scale

import (
	"fmt"
	"math"
	"slices"

	"hardtack/pricing"
	"hardtack/pricing/item"
	"hardtack/pricing/measure"
)

// To scales a list to a target. What the list says of a need (so much rice, so
// many oranges) becomes use per person-day; what does not keep as long as the
// passage is bought only for the days it keeps, and the need's items that do
// keep, or the catalogue's, take over. The error is ErrInvalid.
func To(c *item.Catalogue, list List, t Target) (Result, error) {
	if err := check(c, list, t); err != nil {
		return Result{}, fmt.Errorf("scale stores list: %w: %w", ErrInvalid, err)
	}
	f := &filling{catalogue: c, target: t, room: map[Place]float64{Fridge: 1, Freezer: 1}}
	f.read(list)
	for range 6 {
		f.fill()
		if !f.overfull() {
			break
		}
	}
	return f.result(list), nil
}

func check(c *item.Catalogue, list List, t Target) error {
	for _, x := range []struct {
		name   string
		value  float64
		lo, hi float64
	}{
		{"people the list is for", list.People, 0.01, most}, {"days the list is for", list.Days, 0.01, most},
		{"people", t.People, 0.01, most}, {"days", t.Days, 0.01, most}, {"reserve days", t.Reserve, 0, most},
		{"fridge litres", t.Fridge, 0, 1e5}, {"freezer litres", t.Freezer, 0, 1e5}, {"locker temperature", t.LockerC, 0, 50},
	} {
		if math.IsNaN(x.value) || x.value < x.lo || x.value > x.hi {
			return fmt.Errorf("%s %g: want %g to %g", x.name, x.value, x.lo, x.hi)
		}
	}
	for _, l := range list.Lines {
		if _, ok := c.Item(l.Item); !ok || l.Amount <= 0 {
			return fmt.Errorf("item %q, amount %d: want an item of the catalogue and more than 0", l.Item, l.Amount)
		}
	}
	for id, q := range t.Aboard {
		if _, ok := c.Item(id); !ok || q < 0 {
			return fmt.Errorf("aboard %q, amount %d: want an item of the catalogue and not less than 0", id, q)
		}
	}
	return nil
}

// part is an item's part in a need, in need-units.
type part struct {
	item    item.Item
	yield   float64
	wanted  float64 // as the list has it
	had     float64 // of it aboard, in item-units
	amount  float64 // as filled, without what is aboard
	stowed  stowed
	instead bool
}

// demand is a need with its parts; an extra is a need of its own.
type demand struct {
	need  item.Need // ID empty for an extra
	total float64   // need-units for the whole target
	parts []*part
	short float64 // what nothing that keeps can give
}

type filling struct {
	catalogue *item.Catalogue
	target    Target
	demands   []*demand
	room      map[Place]float64 // share of the cold goods that there is room for
}

// read turns the list into demands of the target, less what is aboard.
func (f *filling) read(list List) {
	byNeed := map[string]*demand{}
	for _, l := range list.Lines {
		it := f.catalogue.Items[l.Item]
		need, serves := f.catalogue.NeedOf(l.Item)
		key, yield := string(l.Item), 1.0
		if serves {
			a, _ := need.Alternate(l.Item)
			key, yield = "need "+need.ID, a.Yield
		}
		if byNeed[key] == nil {
			byNeed[key] = &demand{need: need}
			f.demands = append(f.demands, byNeed[key])
		}
		d := byNeed[key]
		units := l.Amount.Units() * yield * f.target.times(list, need.Appetite)
		d.total += units
		d.parts = append(d.parts, &part{item: it, yield: yield, wanted: units, stowed: f.target.stow(it)})
	}
	for _, d := range f.demands {
		d.subtract(f.catalogue, f.target.Aboard)
	}
}

// times is what an amount of the list is multiplied by: days alone for what
// the boat uses, person-days for all else.
func (t Target) times(list List, a item.Appetite) float64 {
	if a == item.Vessel {
		return t.length() / list.Days
	}
	return t.People * t.length() / (list.People * list.Days)
}

// subtract takes what is aboard off: of an item first its own, then what is
// more off the need's others, those that keep longest first.
func (d *demand) subtract(c *item.Catalogue, aboard map[pricing.ItemID]measure.Quantity) {
	spare := 0.0
	for _, p := range d.parts {
		have := aboard[p.item.ID].Units()
		p.had = min(have, p.wanted/p.yield)
		p.wanted -= p.had * p.yield
		spare += (have - p.had) * p.yield
	}
	for _, a := range d.need.Alternates {
		if !slices.ContainsFunc(d.parts, func(p *part) bool { return p.item.ID == a.Item }) && aboard[a.Item] > 0 {
			p := &part{item: c.Items[a.Item], yield: a.Yield}
			p.had = min(aboard[a.Item].Units(), max(0, d.open()-spare)/a.Yield)
			spare += p.had * p.yield
			d.parts = append(d.parts, p)
		}
	}
	for _, p := range slices.Backward(d.byLife()) {
		less := min(spare, p.wanted)
		p.wanted, spare = p.wanted-less, spare-less
	}
}

func (d *demand) open() float64 {
	sum := 0.0
	for _, p := range d.parts {
		sum += p.wanted
	}
	return sum
}

// byLife gives the parts, those that spoil first in front.
func (d *demand) byLife() []*part {
	out := slices.Clone(d.parts)
	slices.SortStableFunc(out, func(a, b *part) int {
		switch {
		case a.stowed.days < b.stowed.days:
			return -1
		case a.stowed.days > b.stowed.days:
			return 1
		}
		return 0
	})
	return out
}
