package instance

import (
	"math"
	"slices"

	"hardtack/route/plan"
)

// room sets spaces and payload as shares of the 80th percentile, over the
// departures, of what a plan without limits holds.
func (m *maker) room(tight bool) {
	h := holdings(m.brief)
	scale := 1.0
	if tight {
		scale = 0.5
	}
	for _, id := range spaces {
		share := m.between(0.4, 0.7)
		switch id {
		case "dry":
			share = m.between(0.8, 1.2)
		case "cool":
			share = m.between(0.7, 1.1)
		}
		litres := max(round(scale*share*percentile80(h.litres[id]), 1), 0.5)
		m.brief.Stowage.Spaces = append(m.brief.Stowage.Spaces, plan.Space{ID: id, Litres: litres})
	}
	kg := percentile80(h.kg)
	if ample := m.chance(0.5); tight {
		kg = round(kg*m.between(0.35, 0.45), 1) // half the room would hold half of it
		m.brief.Stowage.PayloadKg = &kg
	} else if ample {
		kg = round(kg*m.between(1, 1.4), 1)
		m.brief.Stowage.PayloadKg = &kg
	}
}

func percentile80(xs []float64) float64 {
	sorted := slices.Sorted(slices.Values(xs))
	return sorted[int(math.Ceil(0.8*float64(len(sorted))))-1]
}

// held is what is aboard after each departure but the last.
type held struct {
	litres map[string][]float64
	kg     []float64
}

// holdings buys each period's use at the cheapest stop from which it still
// keeps to the period's end, and carries it from there. Where an item keeps
// long enough in several spaces it is shared out evenly.
func holdings(b plan.Brief) held {
	legs := len(b.Stops) - 1
	h := held{litres: map[string][]float64{}, kg: make([]float64, legs)}
	for _, id := range spaces {
		h.litres[id] = make([]float64, legs)
	}
	for _, n := range b.Needs {
		for period := 1; period <= 2*legs; period++ {
			h.carry(b, n, period)
		}
	}
	return h
}

func (h held) carry(b plan.Brief, n plan.Need, period int) {
	use, end := n.UseInPort[period/2]*(b.Stops[period/2].Depart-b.Stops[period/2].Arrive), b.Stops[period/2].Depart
	if period%2 == 1 {
		end = b.Stops[period/2+1].Arrive
		use = n.UseAtSea[period/2] * (end - b.Stops[period/2].Depart)
	}
	it, stop, lasting := cheapest(b, n, period, end)
	for _, space := range lasting {
		amount := use / it.Yield / float64(len(lasting))
		for d := stop; d <= (period-1)/2; d++ {
			h.litres[space][d] += amount * it.Litres
			h.kg[d] += amount * it.Kg
		}
	}
}

// cheapest finds the item and stop whose goods, taste counted, serve a period
// to its end for least, and the spaces where they keep that long. Bought in
// the stay itself they need none.
func cheapest(b plan.Brief, n plan.Need, period int, end float64) (best plan.Item, stop int, lasting []string) {
	least := math.Inf(1)
	for _, it := range n.Items {
		for _, o := range it.Offers {
			cost := (o.Price/o.Pack + it.TasteCost) / it.Yield
			spaces := lasts(b, it, o.Stop, end)
			inStay := 2*o.Stop == period
			if 2*o.Stop > period || cost >= least || taken(it, o.Stop, period) || (len(spaces) == 0 && !inStay) {
				continue
			}
			if inStay {
				spaces = nil
			}
			least, best, stop, lasting = cost, it, o.Stop, spaces
		}
	}
	return best, stop, lasting
}

func lasts(b plan.Brief, it plan.Item, stop int, end float64) (spaces []string) {
	for _, k := range it.Keeps {
		if b.Stops[stop].Depart+k.Days[stop] >= end {
			spaces = append(spaces, k.Space)
		}
	}
	return spaces
}

func taken(it plan.Item, stop, period int) bool {
	return slices.ContainsFunc(it.SurrenderedAt, func(s int) bool { return s > stop && 2*s <= period })
}
