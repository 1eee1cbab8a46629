package risk

import (
	"cmp"
	"context"
	"math"
	"slices"

	"hardtack/route/plan"
)

// Remedy is a purchase on top of the plan and what it does, on seasons that
// meet the same weather, prices and shelves with it and without.
type Remedy struct {
	Extra
	Spent    Spread  `json:"spent"`    // more money spent
	Shortage Spread  `json:"shortage"` // change in what going short counts; below 0 is better
	Total    Spread  `json:"total"`
	Gain     float64 `json:"gain"`   // shortage avoided per unit of money spent; 0 where it saves money as well
	Before   float64 `json:"before"` // share of seasons in which the need runs short
	After    float64 `json:"after"`
}

// Remedies looks for the single purchases that lower the risk most for their
// money: for the needs whose shortage counts most, at most so many of them,
// about what they lack, at the cheapest two stops before they run short and at
// the last one. Those that help beyond the error of the walks, the best first.
func Remedies(ctx context.Context, b plan.Brief, d Doubt, p plan.Plan, o Options, most int) ([]Remedy, error) {
	base, err := Walk(ctx, b, d, p, o)
	if err != nil {
		return nil, err
	}
	r := base.Report()
	worst := slices.Clone(r.Needs)
	slices.SortStableFunc(worst, func(x, y NeedRisk) int { return cmp.Compare(y.Cost, x.Cost) })
	var out []Remedy
	for _, need := range worst[:min(most, len(worst))] {
		for _, x := range candidates(b, need) {
			with := o
			with.Extra = append(slices.Clone(o.Extra), x)
			w, err := Walk(ctx, b, d, p, with)
			if err != nil {
				return nil, err
			}
			out = append(out, remedy(x, base, w, slices.IndexFunc(b.Needs, func(n plan.Need) bool { return n.ID == need.Need })))
		}
	}
	out = slices.DeleteFunc(out, func(x Remedy) bool { return x.Shortage.Mean >= -2*x.Shortage.Error })
	slices.SortStableFunc(out, func(x, y Remedy) int { return cmp.Compare(worth(y), worth(x)) })
	return out, nil
}

func remedy(x Extra, base, with *Walked, need int) Remedy {
	d := Compare(base, with)
	ran := func(o *outcome) bool { return o.ran[need] }
	r := Remedy{Extra: x, Spent: d.Spent, Shortage: d.Shortage, Total: d.Total,
		Before: float64(base.count(ran)) / float64(base.Walks), After: float64(with.count(ran)) / float64(with.Walks)}
	if d.Spent.Mean > 0 {
		r.Gain = -d.Shortage.Mean / d.Spent.Mean
	}
	return r
}

// worth ranks a purchase that saves money as well above all others.
func worth(r Remedy) float64 {
	if r.Spent.Mean <= 0 {
		return math.Inf(1)
	}
	return r.Gain
}

// candidates are purchases for a need before the period in which it runs short
// most often, of the item that costs least a need-unit and keeps, about what
// is lacking when it is.
func candidates(b plan.Brief, r NeedRisk) []Extra {
	at, often := PeriodRisk{}, 0.0
	for _, p := range r.Periods {
		if p.Short.Seen > often {
			at, often = p, p.Short.Seen
		}
	}
	if often == 0 {
		return nil
	}
	k := slices.IndexFunc(b.Needs, func(n plan.Need) bool { return n.ID == r.Need })
	var found []priced
	for s := 0; s <= at.Stop; s++ {
		if x, ok := cheapestAt(b, b.Needs[k], s, at); ok {
			lacking := r.Lacking / r.Short.Seen
			x.Packs = max(1, int(math.Round(lacking/x.holds)))
			found = append(found, x)
		}
	}
	if len(found) > 3 {
		last := len(found) - 1
		slices.SortStableFunc(found[:last], func(x, y priced) int { return cmp.Compare(x.cost, y.cost) })
		found = append(found[:2], found[last])
	}
	var out []Extra
	for _, x := range found {
		out = append(out, x.Extra)
	}
	return out
}

type priced struct {
	Extra
	holds float64 // need-units in a pack
	cost  float64 // of a need-unit
}

func cheapestAt(b plan.Brief, n plan.Need, stop int, at PeriodRisk) (priced, bool) {
	end := b.Stops[at.Stop].Depart
	if at.Leg {
		end = b.Stops[at.Stop+1].Arrive
	}
	best := priced{cost: math.Inf(1)}
	for _, it := range n.Items {
		lost := slices.ContainsFunc(it.SurrenderedAt, func(s int) bool { return s > stop && s <= at.Stop })
		first := slices.IndexFunc(it.Offers, func(o plan.Offer) bool { return o.Stop == stop && (o.Limit == nil || *o.Limit > 0) })
		keeps := slices.ContainsFunc(it.Keeps, func(k plan.Keep) bool { return b.Stops[stop].Depart+k.Days[stop] >= end })
		if first < 0 || lost || !keeps || (!at.Leg && stop == at.Stop) {
			continue
		}
		o := it.Offers[first]
		if cost := (o.Price/o.Pack + it.TasteCost) / it.Yield; cost < best.cost {
			best = priced{Extra{Need: n.ID, Item: it.ID, Stop: stop}, o.Pack * it.Yield, cost}
		}
	}
	return best, !math.IsInf(best.cost, 1)
}
