package plan

import (
	"cmp"
	"context"
	"fmt"
	"slices"

	"hardtack/route/plan/internal/search"
)

// Resume looks for a better plan for the same brief from the one given, within
// a budget, and never gives back a dearer one. The plan must keep the rules of
// the brief; its bound is taken on trust.
func Resume(ctx context.Context, b Brief, p Plan, budget Budget) (Plan, error) {
	c, held, err := opened(b, p)
	if err != nil {
		return Plan{}, fmt.Errorf("resume: %w", err)
	}
	o := search.Options{Seed: budget.Seed, Work: budget.work(b), Workers: budget.Workers}
	return c.write(search.Resume(ctx, c.model, held.Result().Schedules, p.Bound, o)), nil
}

// Binding is a sort of limit.
type Binding string

// What can limit a plan, and what one more of it is.
const (
	BindLitre    Binding = "litre"    // of a space
	BindDay      Binding = "day"      // of keeping, for all that is kept in a space
	BindKilogram Binding = "kilogram" // of payload
	BindCarried  Binding = "carried"  // a kilogram more on every trip
	BindReserve  Binding = "reserve"  // a day less of reserve on every leg that has one
)

// Bind is something of which one more would make the season cheaper.
type Bind struct {
	What  Binding `json:"what"`
	Space string  `json:"space,omitempty"` // of litre and day
	Saves float64 `json:"saves"`           // over the season, as far as was found
	Full  []int   `json:"full,omitempty"`  // stops on whose departure there is no more of it: litre and kilogram
}

// How often a plan is searched again, each time with other random choices:
// settling at most before it is compared with, until calm times found nothing
// worth a word; then with one more, as often.
const (
	settling = 8
	calm     = 2

	freshTimes = 5 // the budget of a plan made from nothing
)

// Binds says what limits a plan: for every space, the payload, what is carried
// and the reserves it solves again from the plan, within a budget each time,
// with one more, and compares with the same search without. The plan is settled
// first, and where the plan found with one more does without it, it is the one
// to compare with; so what any search would find does not count. What saves
// most comes first, what saves nothing is left out. The plan must keep the
// rules of the brief. A ctx that ends is an error: halves cannot be compared.
func Binds(ctx context.Context, b Brief, p Plan, budget Budget) ([]Bind, error) {
	p, err := settled(ctx, b, p, budget)
	if err != nil {
		return nil, fmt.Errorf("binds: %w", err)
	}
	found := relaxed(b)
	for k := range found {
		r := &found[k]
		if r.plan, err = r.better(ctx, p, budget); err != nil {
			return nil, fmt.Errorf("binds: one more %s of %s: %w", r.What, r.Space, err)
		}
		if q, err := restated(b, r.plan); err == nil && q.Cost.Total < p.Cost.Total {
			q.Bound = p.Bound
			p = q
		}
	}
	c, held, err := opened(b, withGap(p))
	if err != nil {
		return nil, fmt.Errorf("binds: %w", err)
	}
	full := c.full(held.Free())
	var binds []Bind
	for _, r := range found {
		if r.Saves = p.Cost.Total - r.plan.Cost.Total; r.Saves <= moneySlack*p.Cost.Total {
			continue
		}
		switch r.What {
		case BindLitre:
			r.Full = stopsOf(full[c.rooms[r.Space]])
		case BindKilogram:
			r.Full = stopsOf(full[len(full)-1])
		}
		binds = append(binds, r.Bind)
	}
	slices.SortStableFunc(binds, func(x, y Bind) int { return cmp.Compare(y.Saves, x.Saves) })
	return binds, nil
}

// settled searches a plan again until that finds nothing worth a word, from it
// or from a plan made from nothing, whichever is cheaper.
func settled(ctx context.Context, b Brief, p Plan, budget Budget) (Plan, error) {
	fresh, err := Solve(ctx, b, Budget{Seed: budget.Seed, Work: freshTimes * budget.Work, Workers: budget.Workers}, nil)
	if err != nil {
		return p, err
	}
	if fresh.Cost.Total < p.Cost.Total {
		p = fresh
	}
	for round, idle := 0, 0; round < settling && idle < calm; round++ {
		q, err := Resume(ctx, b, p, Budget{Seed: budget.Seed + uint64(round), Work: budget.Work, Workers: budget.Workers})
		if err == nil {
			err = ctx.Err()
		}
		if err != nil {
			return p, err
		}
		idle++
		if p.Cost.Total-q.Cost.Total > 2*moneySlack*p.Cost.Total {
			idle = 0
		}
		p = q
	}
	return p, nil
}

// better is the best plan found with one more.
func (r *relaxation) better(ctx context.Context, p Plan, budget Budget) (Plan, error) {
	p.Bound = 0 // it is of the brief as it was
	p, err := restated(r.brief, p)
	for round := uint64(0); round < calm && err == nil; round++ {
		p, err = Resume(ctx, r.brief, p, Budget{Seed: budget.Seed + round, Work: budget.Work, Workers: budget.Workers})
	}
	if err == nil {
		err = ctx.Err()
	}
	return p, err
}

// restated is a plan written down for another brief with the same needs, items
// and stops, if it keeps its rules.
func restated(b Brief, p Plan) (Plan, error) {
	if err := b.Check(); err != nil {
		return Plan{}, err
	}
	c := compile(b)
	r := c.hold(p).Result()
	r.Bound = min(p.Bound, r.Total())
	p = c.write(r)
	return p, Verify(b, p)
}

// withGap is a plan whose gap is that of its total and bound.
func withGap(p Plan) Plan {
	if p.Gap = 0; p.Cost.Total > 0 {
		p.Gap = (p.Cost.Total - p.Bound) / p.Cost.Total
	}
	return p
}

func stopsOf(full []bool) []int {
	var out []int
	for s, is := range full {
		if is {
			out = append(out, s)
		}
	}
	return out
}
