package scale

import (
	"hardtack/pricing/item"
	"hardtack/pricing/measure"
)

// The starting list is written for this crew; To scales it like any other.
const (
	startPeople = 4
	startDays   = 14
	// kinds is how many items share a need.
	kinds = 3
	// sealedShare of the water is bought in jugs, apart from the tank, so that
	// one leak or one bad tank never takes all of it: common practice, no source.
	sealedShare = 0.25
)

// Starting is the catalogue's own list for those who have none: of every need
// of an adult its first choices, as many as make whole packs.
func Starting(c *item.Catalogue) List {
	list := List{People: startPeople, Days: startDays}
	for _, n := range c.Needs {
		persons := float64(startPeople)
		switch n.Appetite {
		case item.Infant, item.Baby, item.Menstrual, item.Pet:
			continue
		case item.Vessel:
			persons = 1
		}
		units := n.PerPersonDay * persons * startDays
		if n.Class == item.Safety {
			list.Lines = append(list.Lines, safety(c, n, units)...)
			continue
		}
		picks := first(c, n, units)
		for _, a := range picks {
			list.Lines = append(list.Lines, Line{a.Item, measure.Of(units / float64(len(picks)) / a.Yield)})
		}
	}
	return list
}

// first gives up to kinds alternates nobody minds, fewer where the amount
// would not fill a pack of each.
func first(c *item.Catalogue, n item.Need, units float64) []item.Alternate {
	var out []item.Alternate
	for _, a := range n.Alternates {
		if a.Taste > 0 && len(out) > 0 {
			continue
		}
		pack := c.Items[a.Item].ListPack.Units() * a.Yield
		if len(out) > 0 && units/float64(len(out)+1) < 0.7*pack {
			continue
		}
		if out = append(out, a); len(out) == kinds {
			break
		}
	}
	return out
}

// safety is water and gas: water in the tank and in jugs, gas in one kind.
func safety(c *item.Catalogue, n item.Need, units float64) []Line {
	var lines []Line
	share := 1.0
	for _, a := range n.Alternates {
		if c.Items[a.Item].Category == "water" && a.Item != "water_tank" {
			lines = append(lines, Line{a.Item, measure.Of(units * sealedShare / a.Yield)})
			share = 1 - sealedShare
			break
		}
	}
	a := n.Alternates[0]
	return append([]Line{{a.Item, measure.Of(units * share / a.Yield)}}, lines...)
}
