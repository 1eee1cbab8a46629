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
	Spent    Mean    `json:"spent"`    // more money spent
	Shortage Mean    `json:"shortage"` // change in what going short counts; below 0 is better
	Total    Mean    `json:"total"`
	Gain     float64 `json:"gain"`   // shortage avoided per unit of money spent; 0 where it saves money as well
	Before   float64 `json:"before"` // share of seasons in which the need runs short
	After    float64 `json:"after"`
}

// Mean is an expected amount of money and its standard error.
type Mean struct {
	Mean  float64 `json:"mean"`
	Error float64 `json:"standard_error"`
}

// Remedies looks for the single purchases that lower the risk most for their
// money: for the needs whose shortage counts most, at most so many of them,
// about what they lack, at the cheapest two stops before they run short and at
// the last one. Those that help beyond the error of the walks, the best first.
// Brief, doubt, plan and options are those that were walked.
func (out *Walked) Remedies(ctx context.Context, b plan.Brief, d Doubt, p plan.Plan, o Options, most int) ([]Remedy, error) {
	f, err := newField(b, d, p, o.Policy)
	if err != nil {
		return nil, err
	}
	worst, found := out.Report().Needs, []Remedy{}
	slices.SortStableFunc(worst, func(x, y NeedRisk) int { return cmp.Compare(y.Cost, x.Cost) })
	for _, need := range worst[:min(most, len(worst))] {
		for _, x := range candidates(b, need) {
			r, err := out.try(ctx, f, b, x, o)
			if err != nil {
				return nil, err
			}
			found = append(found, r)
		}
	}
	found = slices.DeleteFunc(found, func(x Remedy) bool { return x.Shortage.Mean >= -2*x.Shortage.Error })
	slices.SortStableFunc(found, func(x, y Remedy) int { return cmp.Compare(worth(y), worth(x)) })
	return found, nil
}

// What is walked again with a purchase: seasons in which the need ran short,
// where it may matter much, and others, where it is mostly money.
const (
	mostShort = 200
	mostOther = 60
)

// try walks again some of the seasons with a purchase and weighs them up.
func (out *Walked) try(ctx context.Context, f *field, b plan.Brief, x Extra, o Options) (Remedy, error) {
	xs, err := f.extras(b, append(slices.Clone(o.Extra), x))
	if err != nil {
		return Remedy{}, err
	}
	n := xs[len(xs)-1].need
	r := Remedy{Extra: x}
	for _, short := range []bool{true, false} {
		numbers := out.numbers(n, short)
		weight := float64(len(numbers)) / float64(out.Walks)
		if short {
			r.Before = weight
			numbers = spaced(numbers, mostShort)
		} else {
			numbers = spaced(numbers, mostOther)
		}
		if len(numbers) == 0 {
			continue
		}
		with, _, err := f.walks(ctx, o, xs, numbers)
		if err != nil {
			return Remedy{}, err
		}
		r.add(weight, out, numbers, with, n)
	}
	r.Spent.Error, r.Shortage.Error, r.Total.Error = math.Sqrt(r.Spent.Error), math.Sqrt(r.Shortage.Error), math.Sqrt(r.Total.Error)
	if r.Spent.Mean > 0 {
		r.Gain = -r.Shortage.Mean / r.Spent.Mean
	}
	return r, nil
}

// add takes in a stratum; errors are squares until all are in.
func (r *Remedy) add(weight float64, out *Walked, numbers []int, with []outcome, need int) {
	stratum := func(m *Mean, of func(*outcome) float64) {
		x := make([]float64, len(numbers))
		for i, k := range numbers {
			x[i] = of(&with[i]) - of(&out.outcomes[k])
		}
		mean, se := meanError(x)
		m.Mean += weight * mean
		m.Error += weight * weight * se * se
	}
	stratum(&r.Spent, (*outcome).spent)
	stratum(&r.Shortage, func(o *outcome) float64 { return o.missing + o.reserve })
	stratum(&r.Total, (*outcome).total)
	for i := range with {
		if with[i].ran[need] {
			r.After += weight / float64(len(with))
		}
	}
}

// numbers of the seasons in which a need ran short, or did not.
func (out *Walked) numbers(need int, short bool) []int {
	var is []int
	for i := range out.outcomes {
		if out.outcomes[i].ran[need] == short {
			is = append(is, i)
		}
	}
	return is
}

// spaced takes at most so many, evenly spaced.
func spaced(all []int, most int) []int {
	if len(all) <= most {
		return all
	}
	some := make([]int, most)
	for i := range some {
		some[i] = all[i*len(all)/most]
	}
	return some
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
