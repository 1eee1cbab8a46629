package world

import (
	"math"
	"slices"
)

// settled has the counts of what is known.
func (s Spec) settled() Spec {
	if k := s.Known; k != nil {
		s.Ports, s.Items = len(k.Ports), len(k.Items)
		s.Countries, s.Categories = len(names(k.Ports, Port.land)), len(names(k.Items, Item.kind))
		s.Devalued = 0 // real money has had its history
	}
	return s
}

func (p Port) land() string { return p.Country }

func (i Item) kind() string { return i.Category }

// names are the different ones, in alphabetical order.
func names[T any](all []T, name func(T) string) []string {
	var out []string
	for _, x := range all {
		out = append(out, name(x))
	}
	slices.Sort(out)
	return slices.Compact(out)
}

// known takes ports, items and rates as they are, and invents the rest.
func (n *nature) known(w *World) {
	w.Ports, w.Items, w.Rates = n.Known.Ports, n.Known.Items, n.Known.Rates
	lands, harbours := make([]point, n.Countries), make([]point, n.Ports)
	n.countryOf, n.southern, n.fell = make([]int, n.Ports), make([]bool, n.Ports), make([]int, n.Countries)
	countries := names(w.Ports, Port.land)
	for k, p := range w.Ports {
		c, _ := slices.BinarySearch(countries, p.Country)
		n.countryOf[k], n.southern[k], harbours[k] = c, p.Latitude < 0, placed(p.Latitude, p.Longitude)
		lands[c] = harbours[k]
	}
	n.levels(lands, harbours)

	category := n.discounts()
	n.item, n.categoryOf = make([]float64, n.Items), make([]int, n.Items)
	categories := names(w.Items, Item.kind)
	for i, it := range w.Items {
		g, _ := slices.BinarySearch(categories, it.Category)
		n.categoryOf[i] = g
		if off := n.normal(n.ItemSD / 2); it.Price > 0 {
			n.item[i] = math.Log(it.Price) + off
		} else {
			n.item[i] = 1 + category[g] + 2*off
		}
	}
	n.likes()
}

// placed is a place of so many degrees.
func placed(latitude, longitude float64) point {
	const degree = math.Pi / 180
	around, up := math.Sincos(longitude * degree)
	north, out := math.Sincos(latitude * degree)
	return point{out * up, out * around, north}
}
