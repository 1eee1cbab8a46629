package season

import (
	"math"

	"hardtack/route/plan"
)

// room is what is free right after a departure.
type room struct {
	litres map[string]float64
	kg     float64
}

func newRoom(w *walker, stop int) room {
	r := room{litres: map[string]float64{}, kg: math.Inf(1)}
	for _, s := range w.brief.Stowage.Spaces {
		r.litres[s.ID] = s.Litres
	}
	if p := w.brief.Stowage.PayloadKg; p != nil {
		r.kg = *p
	}
	for _, l := range w.lots {
		if l.expires > w.brief.Stops[stop].Depart {
			r.take(w.item(l), l.space, l.left)
		}
	}
	return r
}

// fits is how many item-units still go into a space.
func (r room) fits(it plan.Item, space string) float64 {
	amount := math.Inf(1)
	if it.Litres > 0 {
		amount = r.litres[space] / it.Litres
	}
	if it.Kg > 0 {
		amount = min(amount, r.kg/it.Kg)
	}
	return max(amount, 0)
}

func (r *room) take(it plan.Item, space string, amount float64) {
	r.litres[space] -= amount * it.Litres
	r.kg -= amount * it.Kg
}
