package risk

import (
	"context"
	"fmt"
	"math"
	"slices"

	"hardtack/route/chance"
	"hardtack/route/plan"
)

// Reserved is the brief with, on every leg, a reserve that lasts the leg with
// a wished chance: the quantile of what is used on it, rate and length both in
// doubt, less its median use. Needs for which that is less than what is asked
// for already stay as they are. 0 < wished < 1.
func Reserved(b plan.Brief, d Doubt, wished float64) (plan.Brief, error) {
	if err := d.check(b); err != nil {
		return b, fmt.Errorf("reserve: %w", err)
	}
	if !(wished > 0 && wished < 1) {
		return b, fmt.Errorf("reserve for a chance of %v: %w: want above 0 and below 1", wished, ErrInput)
	}
	out := b
	out.Needs = slices.Clone(b.Needs)
	for n := range out.Needs {
		need := &out.Needs[n]
		var reserve []float64
		for l, perDay := range need.UseAtSea {
			due := b.Stops[l].ReserveDays * perDay
			if need.Reserve != nil {
				due = need.Reserve[l]
			}
			reserve = append(reserve, max(due, short(b, d, n, l, wished)))
		}
		need.Reserve = reserve
	}
	return out, nil
}

// short is what a leg may need beyond its median use with a wished chance.
func short(b plan.Brief, d Doubt, n, leg int, wished float64) float64 {
	days := b.Stops[leg+1].Arrive - b.Stops[leg].Depart
	perDay := b.Needs[n].UseAtSea[leg]
	if days <= 0 || perDay == 0 {
		return 0
	}
	cv := math.Hypot(d.Needs[n].Season, d.Needs[n].Day/math.Sqrt(max(days, 1)))
	return chance.Demand{PerDay: perDay, CV: cv, Days: days * math.Exp(d.Drift), LogSD: d.Legs[leg]}.Quantile(wished) - perDay*days
}

// Meeting is what a wished chance takes: the plan with reserves for it, and
// the chance reached when the season is walked.
type Meeting struct {
	Wished  float64              `json:"wished"`  // of having enough on a leg
	Reached float64              `json:"reached"` // share of legs, over all needs used on them, that had enough
	Reserve map[string][]float64 `json:"reserve"` // by need and leg: need-units due on arrival
	Spent   Spread               `json:"spent"`
	Missing Spread               `json:"missing"` // what going without counts, reserves apart
}

// Meet plans and walks with the reserves of each wished chance.
func Meet(ctx context.Context, b plan.Brief, d Doubt, wished []float64, budget plan.Budget, o Options) ([]Meeting, error) {
	var out []Meeting
	for _, chance := range wished {
		more, err := Reserved(b, d, chance)
		if err != nil {
			return nil, err
		}
		p, err := plan.Solve(ctx, more, budget, nil)
		if err != nil {
			return nil, fmt.Errorf("plan for a chance of %v: %w", chance, err)
		}
		w, err := Walk(ctx, more, d, p, o)
		if err != nil {
			return nil, err
		}
		m := Meeting{Wished: chance, Reached: w.reached(), Reserve: map[string][]float64{},
			Spent: w.spread((*outcome).spent), Missing: w.spread(func(o *outcome) float64 { return o.missing })}
		for _, n := range more.Needs {
			m.Reserve[n.ID] = n.Reserve
		}
		out = append(out, m)
	}
	return out, nil
}

// reached is the share of legs, over needs used on them and walks, that did
// not run short.
func (out *Walked) reached() float64 {
	short, all := 0, 0
	for n, need := range out.needs {
		for l, use := range need.UseAtSea {
			if use > 0 {
				short += out.short[n][2*l+1]
				all += out.Walks
			}
		}
	}
	if all == 0 {
		return 1
	}
	return 1 - float64(short)/float64(all)
}
