package shopping

import (
	"cmp"
	"math"
	"slices"

	"hardtack/pricing"
	"hardtack/route/plan"
)

// maxInstead is how many substitutes a line names.
const maxInstead = 2

// instead names what would serve the need that most of a line is for, at the
// same stop, and keep until the last of it is planned to be eaten: cheapest
// first, in whole packs.
func (m *maker) instead(s int, id pricing.ItemID, buys []plan.Purchase, until float64) []Instead {
	need, units, stowed := m.mainNeed(buys)
	var out []Instead
	for _, it := range m.alternates(need) {
		if m.catalogued(it.ID) == id || stowed && m.life(it, s) < until {
			continue
		}
		if x, ok := m.substitute(it, s, units); ok {
			out = append(out, x)
		}
	}
	slices.SortStableFunc(out, func(a, b Instead) int { return cmp.Compare(a.Home, b.Home) })
	return out[:min(len(out), maxInstead)]
}

// mainNeed is the need that most of a line is for, in need-units, and whether
// any of the line is carried away.
func (m *maker) mainNeed(buys []plan.Purchase) (need string, units float64, stowed bool) {
	sums := map[string]float64{}
	for _, b := range buys {
		sums[b.Need] += float64(b.Packs) * b.Pack * m.items[b.Item].Yield
		stowed = stowed || len(b.Stowed) > 0
		if sums[b.Need] > units {
			need, units = b.Need, sums[b.Need]
		}
	}
	return need, units, stowed
}

func (m *maker) alternates(need string) []plan.Item {
	for _, n := range m.Brief.Needs {
		if n.ID == need {
			return n.Items
		}
	}
	return nil
}

// life is the moment up to which an item bought at stop s can be eaten.
func (m *maker) life(it plan.Item, s int) float64 {
	until := 0.0
	for _, k := range it.Keeps {
		if s < len(k.Days) {
			until = max(until, m.Brief.Stops[s].Depart+k.Days[s])
		}
	}
	return until
}

// substitute prices need-units of a need served by another item at stop s.
func (m *maker) substitute(it plan.Item, s int, units float64) (Instead, bool) {
	best, cost := Instead{}, math.Inf(1)
	for _, o := range it.Offers {
		if o.Stop != s {
			continue
		}
		n := math.Ceil(units/it.Yield/o.Pack - 1e-6)
		if o.Limit != nil && n > float64(*o.Limit) || n*o.Price >= cost {
			continue
		}
		note, _ := m.Notes.Offer(it.ID, s, o.Pack)
		i := m.catalogueItem(m.catalogued(it.ID))
		cost = n * o.Price
		best = Instead{Item: i.ID, Name: i.Name, Unit: i.Unit, Packs: packsOf(i, int(n), o.Pack), Home: cost, Guess: note.Guess}
	}
	return best, !math.IsInf(cost, 1)
}
