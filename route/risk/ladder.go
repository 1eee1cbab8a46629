package risk

import (
	"fmt"
	"math"

	"hardtack/route/plan"
)

// Rung is up to which price an item is worth buying at a stop for what is
// eaten in a stretch of the season, rather than waiting for the ports ahead.
type Rung struct {
	From    float64 `json:"from"`    // days, of the brief
	Until   float64 `json:"until"`   // days
	UpTo    float64 `json:"up_to"`   // price of an item-unit
	Amount  float64 `json:"amount"`  // item-units the need uses in the stretch
	Must    bool    `json:"must"`    // before enough ports to count on them: waiting would leave more to chance than its class allows
	Without bool    `json:"without"` // nothing ahead serves it: the price is that of going without
}

// Ladder is what an item is worth at a stop, stretch by stretch as far as it
// keeps: up to the first price for the next days, up to the next one beyond.
// Stretches that are worth the same are one. Room and ways to the shops are
// not counted. Errors: that of b.Check, ErrInput (no such item or stop, or a
// doubt that does not fit).
func Ladder(b plan.Brief, d Doubt, item string, stop int) ([]Rung, error) {
	if err := b.Check(); err != nil {
		return nil, fmt.Errorf("worth of waiting: %w", err)
	}
	if err := d.check(b); err != nil {
		return nil, fmt.Errorf("worth of waiting: %w", err)
	}
	f, err := newField(b, d, openShops(b), Careful)
	if err != nil {
		return nil, fmt.Errorf("worth of waiting: %w", err)
	}
	for n := range b.Needs {
		for i, it := range b.Needs[n].Items {
			if it.ID == item && stop >= 0 && stop < len(b.Stops)-1 {
				return f.needs[n].ladder(f, i, stop), nil
			}
		}
	}
	return nil, fmt.Errorf("worth of %q at stop %d: %w", item, stop, ErrInput)
}

// openShops is a plan with a way to the shops at every stop.
func openShops(b plan.Brief) (p plan.Plan) {
	for s := range b.Stops {
		p.Trips = append(p.Trips, plan.Trip{Stop: s, Count: 1})
	}
	return p
}

func (n *need) ladder(f *field, item, stop int) (out []Rung) {
	it := &n.items[item]
	for q := 2*stop + 1; q < 2*len(f.stops)-1 && q < 2*it.lost[stop]; q++ {
		start, end, perDay := f.stops[q/2].Arrive, f.stops[q/2].Depart, n.in[q/2]
		if q%2 == 1 {
			start, end, perDay = f.stops[q/2].Depart, f.stops[q/2+1].Arrive, n.sea[q/2]
		}
		if f.stops[stop].Depart+it.longest[stop] < end {
			break
		}
		if perDay == 0 || end <= start {
			continue
		}
		wait := n.wait[stop][q]
		r := Rung{From: start, Until: end, UpTo: max(wait*it.yield-it.taste, 0), Amount: perDay * (end - start) / it.yield,
			Must: q < 2*n.cover[stop], Without: wait >= n.miss}
		if k := len(out) - 1; k >= 0 && out[k].Must == r.Must && out[k].Without == r.Without && math.Abs(out[k].UpTo-r.UpTo) <= worthwhile*r.UpTo {
			out[k].Until, out[k].Amount = r.Until, out[k].Amount+r.Amount
			continue
		}
		out = append(out, r)
	}
	return out
}
