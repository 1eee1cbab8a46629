package plan

import (
	"context"
	"fmt"

	"hardtack/route/plan/internal/search"
)

// Budget says how long Solve looks for better plans. There is no clock in it:
// the same brief and budget give the same plan, however fast the machine and
// however many workers there are. Between kinds of processor the last digit of
// a sum may differ, and with it the plan.
type Budget struct {
	Seed    uint64 // of the random choices
	Work    int    // schedules of one need tried; 0 means DefaultWork, or more for many needs and items
	Workers int    // 0 = one for each processor
}

// DefaultWork is for up to usualSize needs and items and usualStops, and takes about
// five seconds of one core for 60 needs, 90 items and 14 stops; more of either have
// more in proportion.
const (
	DefaultWork = 800_000
	usualSize   = 150
	usualStops  = 16
)

// work is the budget for a brief.
func (g Budget) work(b Brief) int {
	if g.Work > 0 {
		return g.Work
	}
	size := 0
	for _, n := range b.Needs {
		size += 1 + len(n.Items)
	}
	return DefaultWork * max(size, usualSize) / usualSize * max(len(b.Stops), usualStops) / usualStops
}

// Part is one of so many parts of the budget for a brief.
func (g Budget) Part(b Brief, of int) Budget {
	g.Work = max(1, g.work(b)/of)
	return g
}

// Solve looks for a cheap plan and proves a bound on every plan of the brief.
// It is pure and depends on nothing but brief and budget. A ctx that ends
// stops the search, and the best plan so far is returned without an error.
// better, unless nil, is told of every better plan as it is found, the first
// one early. The error is that of b.Check; nothing else is infeasible, since
// what cannot be had goes missing at a price.
func Solve(ctx context.Context, b Brief, budget Budget, better func(Plan)) (Plan, error) {
	return SolveFrom(ctx, b, nil, budget, better)
}

// SolveFrom is Solve with plans at hand to start from, which must keep the rules of
// the brief.
func SolveFrom(ctx context.Context, b Brief, from []Plan, budget Budget, better func(Plan)) (Plan, error) {
	if err := b.Check(); err != nil {
		return Plan{}, fmt.Errorf("solve: %w", err)
	}
	c := compile(b)
	o := search.Options{Seed: budget.Seed, Work: budget.work(b), Workers: budget.Workers}
	for _, p := range from {
		if err := holds(b, p); err != nil {
			return Plan{}, fmt.Errorf("solve: plan to start from: %w", err)
		}
		o.From = append(o.From, c.hold(p).Result().Schedules)
	}
	if better != nil {
		o.Better = func(r search.Result) { better(c.write(r)) }
	}
	return c.write(search.Run(ctx, c.model, o)), nil
}
