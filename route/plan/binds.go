package plan

import (
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
	if budget.Work <= 0 {
		budget.Work = DefaultWork
	}
	return c.write(search.Resume(ctx, c.model, held.Result().Schedules, p.Bound, search.Options{Seed: budget.Seed, Work: budget.Work})), nil
}

// Bind is something of which one more would make the season cheaper.
type Bind struct {
	What  string  // "litre" or "day" (of keeping, for all that is kept there) of Space, or "kilogram" of payload
	Space string  // "" for payload
	Saves float64 // over the season, as far as was found
}

// Binds says what limits a plan: for every space and the payload it solves
// again from the plan, within a budget each, with one litre, one kilogram or
// one day of keeping more, and compares with the same search without. What
// saves most comes first, what saves nothing is left out. The plan must keep
// the rules of the brief.
func Binds(ctx context.Context, b Brief, p Plan, budget Budget) ([]Bind, error) {
	base, err := Resume(ctx, b, p, budget)
	if err != nil {
		return nil, fmt.Errorf("binds: %w", err)
	}
	var binds []Bind
	try := func(bind Bind, more Brief) error {
		p := base
		p.Bound, p.Gap = 0, 0 // it is of the brief as it was
		if p.Cost.Total > 0 {
			p.Gap = 1
		}
		better, err := Resume(ctx, more, p, budget)
		if err != nil {
			return fmt.Errorf("binds: one more %s of %s: %w", bind.What, bind.Space, err)
		}
		if bind.Saves = base.Cost.Total - better.Cost.Total; bind.Saves > moneySlack*base.Cost.Total {
			binds = append(binds, bind)
		}
		return nil
	}
	for k, s := range b.Stowage.Spaces {
		more := b
		more.Stowage.Spaces = slices.Clone(b.Stowage.Spaces)
		more.Stowage.Spaces[k].Litres++
		if err := try(Bind{What: "litre", Space: s.ID}, more); err != nil {
			return nil, err
		}
		if err := try(Bind{What: "day", Space: s.ID}, keepingLonger(b, s.ID)); err != nil {
			return nil, err
		}
	}
	if limit := b.Stowage.PayloadKg; limit != nil {
		more, kg := b, *limit+1
		more.Stowage.PayloadKg = &kg
		if err := try(Bind{What: "kilogram"}, more); err != nil {
			return nil, err
		}
	}
	slices.SortStableFunc(binds, func(x, y Bind) int {
		switch {
		case x.Saves > y.Saves:
			return -1
		case x.Saves < y.Saves:
			return 1
		}
		return 0
	})
	return binds, nil
}

// keepingLonger is a brief in which all that is bought keeps a day longer in a
// space; what does not keep there at all still does not.
func keepingLonger(b Brief, space string) Brief {
	b.Needs = slices.Clone(b.Needs)
	for i := range b.Needs {
		items := slices.Clone(b.Needs[i].Items)
		for k := range items {
			keeps := slices.Clone(items[k].Keeps)
			for j := range keeps {
				if keeps[j].Space != space {
					continue
				}
				keeps[j].Days = slices.Clone(keeps[j].Days)
				for d := range keeps[j].Days {
					if keeps[j].Days[d] > 0 {
						keeps[j].Days[d]++
					}
				}
			}
			items[k].Keeps = keeps
		}
		b.Needs[i].Items = items
	}
	return b
}
