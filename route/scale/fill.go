package scale

import (
	"slices"

	"hardtack/pricing/item"
)

// haste is how much faster than its usual rate a need may be eaten while it is
// fresh, as long as the whole group is not eaten faster than usual: common
// practice, no source.
const haste = 2

// fill decides the amounts: for each group, what spoils first is eaten first.
func (f *filling) fill() {
	for _, g := range f.groups() {
		f.fillGroup(g)
	}
}

// groups puts the demands together that are eaten from one plate.
func (f *filling) groups() [][]*demand {
	at := map[string]int{}
	var out [][]*demand
	for _, d := range f.demands {
		k, seen := at[d.need.Group]
		if d.need.ID == "" || !seen {
			k = len(out)
			out = append(out, nil)
		}
		if d.need.ID != "" {
			at[d.need.Group] = k
		}
		out[k] = append(out[k], d)
	}
	return out
}

// serving is a part with the demand it serves.
type serving struct {
	*part
	of *demand
}

func (f *filling) fillGroup(group []*demand) {
	var all []serving
	rate := 0.0 // of the group per day, in its own unit
	for _, d := range group {
		d.parts = slices.DeleteFunc(d.parts, func(p *part) bool { return p.instead })
		rate += perGroup(d, d.total) / f.target.length()
		for _, p := range d.parts {
			all = append(all, serving{p, d})
		}
	}
	slices.SortStableFunc(all, func(a, b serving) int { return compare(a.stowed.days, b.stowed.days) })
	left, eaten, eatenOf := map[*demand]float64{}, 0.0, map[*demand]float64{}
	for _, s := range all {
		want := s.wanted + left[s.of]
		fits := f.fits(s, rate, eaten, eatenOf[s.of])
		s.amount = min(s.wanted, fits)
		if f.perishes(s.part) {
			s.amount = min(nearest(s.item, s.amount/s.yield)*s.yield, want)
		}
		left[s.of] += s.wanted - s.amount
		eaten, eatenOf[s.of] = eaten+perGroup(s.of, s.amount), eatenOf[s.of]+s.amount
	}
	for _, d := range group {
		d.short = f.takeOver(d, left[d])
	}
}

func compare(a, b float64) int {
	switch {
	case a < b:
		return -1
	case a > b:
		return 1
	}
	return 0
}

// perGroup turns need-units into the group's.
func perGroup(d *demand, units float64) float64 {
	if d.need.PerGroupUnit == 0 {
		return units
	}
	return units / d.need.PerGroupUnit
}

func (f *filling) perishes(p *part) bool { return p.stowed.days < f.target.length() }

// fits is how much of a part can be eaten before it spoils, and of cold goods
// how much there is room for.
func (f *filling) fits(s serving, rate, eaten, eatenOf float64) float64 {
	most := s.wanted
	if share, cold := f.room[s.stowed.place]; cold {
		most *= share
	}
	if !f.perishes(s.part) {
		return most
	}
	own := haste*s.of.total/f.target.length()*s.stowed.days - eatenOf
	together := (rate*s.stowed.days - eaten) * (s.of.total / perGroup(s.of, s.of.total))
	return max(0, min(most, own, together))
}

// takeOver gives what the perishable parts leave open to those that keep: the
// list's own, else the catalogue's. It returns what nothing can give.
func (f *filling) takeOver(d *demand, open float64) float64 {
	if open <= 1e-9 {
		return 0
	}
	var keep []*part
	sum := 0.0
	for _, p := range d.parts {
		if _, cold := f.room[p.stowed.place]; !cold && !f.perishes(p) && p.wanted > 0 {
			keep = append(keep, p)
			sum += p.wanted
		}
	}
	if len(keep) == 0 {
		keep = f.standIns(d, open)
		for _, p := range keep {
			p.wanted = open / float64(len(keep))
			sum += p.wanted
		}
	}
	if len(keep) == 0 {
		return open
	}
	for _, p := range keep {
		p.amount += open * p.wanted / sum
	}
	return 0
}

// standIns are up to two items of the catalogue that serve the need to the
// end, those people mind least in front; one where two would not fill a pack
// of each.
func (f *filling) standIns(d *demand, open float64) []*part {
	alternates := slices.Clone(d.need.Alternates)
	slices.SortStableFunc(alternates, func(a, b item.Alternate) int { return compare(a.Taste, b.Taste) })
	var out []*part
	for _, a := range alternates {
		it := f.catalogue.Items[a.Item]
		s := f.target.stow(it)
		_, cold := f.room[s.place]
		if cold || s.days < f.target.length() {
			continue
		}
		if len(out) > 0 && open/2 < it.ListPack.Units()*a.Yield {
			continue
		}
		p := &part{item: it, yield: a.Yield, stowed: s, instead: true}
		out = append(out, p)
		if len(out) == 2 {
			break
		}
	}
	d.parts = append(d.parts, out...)
	return out
}

// overfull cuts the cold goods down to the room there is; false when they fit.
func (f *filling) overfull() bool {
	litres := map[Place]float64{}
	for _, d := range f.demands {
		for _, p := range d.parts {
			litres[p.stowed.place] += p.amount / p.yield * p.item.Litres
		}
	}
	over := false
	for place, room := range map[Place]float64{Fridge: f.target.Fridge * fridgeFill, Freezer: f.target.Freezer * freezerFill} {
		if litres[place] > room*1.001 {
			f.room[place] *= 0.97 * room / litres[place]
			over = true
		}
	}
	return over
}
