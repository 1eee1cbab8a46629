package passage

import (
	"errors"
	"fmt"
	"slices"

	"hardtack/pricing/calendar"
	"hardtack/route"
)

// From is what is left of an itinerary on a day: the call the boat is at, or
// the one it left with what is left of the way from there, and all that
// follow. A boat at sea is at a call of no length where nothing is sold. The
// error says when the day lies before the start or nothing is left to sail.
func From(it route.Itinerary, day calendar.Day) (route.Itinerary, error) {
	at, last := float64(day-it.Start), len(it.Calls)-1
	if last < 1 {
		return it, errors.New("rest of the voyage: it has no leg")
	}
	if at < 0 || at >= it.Calls[last].Arrive {
		return it, fmt.Errorf("rest of the voyage from %v: it goes from %v, and its last leg ends %v: want a day between",
			day, it.Start, it.Start+calendar.Day(it.Calls[last].Arrive))
	}
	first := 0
	for i, c := range it.Calls[:last] {
		if c.Arrive <= at {
			first = i
		}
	}
	out := it
	out.Start, out.Calls, out.Ways = day, slices.Clone(it.Calls[first:]), slices.Clone(it.Ways[first:])
	if c := it.Calls[first]; at > c.Depart {
		underWay(&out, (it.Calls[first+1].Arrive-at)/(it.Calls[first+1].Arrive-c.Depart))
	}
	for i := range out.Calls {
		out.Calls[i].Arrive = max(out.Calls[i].Arrive-at, 0)
		out.Calls[i].Depart = max(out.Calls[i].Depart-at, 0)
	}
	return out, nil
}

// underWay shortens the first way to the share of it that is left.
func underWay(it *route.Itinerary, left float64) {
	c, w := &it.Calls[0], &it.Ways[0]
	c.NoShops, c.ShopDays = true, nil
	w.MedianDays, w.Days90 = w.MedianDays*left, w.Days90*left
	w.DistanceNM, w.DirectNM = scaled(w.DistanceNM, left), scaled(w.DirectNM, left)
}

func scaled[T ~float64](x T, by float64) T { return T(float64(x) * by) }
