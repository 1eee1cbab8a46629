package risk

import (
	"context"
	"fmt"
	"slices"

	"hardtack/route/plan"
	"hardtack/route/underway"
)

// Cautious is the brief as a planner should see it that takes every shelf for
// certain: on the arrival at a stop where a need may well not be found, stores
// are to last until the next one that sells it. What going without such a
// reserve counts is what going short would, times the chance of it.
func Cautious(b plan.Brief, d Doubt) (plan.Brief, error) {
	if err := b.Check(); err != nil {
		return b, fmt.Errorf("plan with caution: %w", err)
	}
	if err := d.check(b); err != nil {
		return b, fmt.Errorf("plan with caution: %w", err)
	}
	f, err := newField(b, d, plan.Plan{}, Careful)
	if err != nil {
		return b, fmt.Errorf("plan with caution: %w", err)
	}
	out := b
	out.Needs = slices.Clone(b.Needs)
	for n := range out.Needs {
		c := cautious{f, &f.needs[n], &out.Needs[n]}
		c.reserves()
	}
	return out, nil
}

type cautious struct {
	*field
	need  *need
	brief *plan.Need
}

// nearlySure is a shelf no store is kept against.
const nearlySure = 0.97

// reserves asks for stores on the arrivals at doubtful shelves. The brief has
// one price for reserves lacking, so it is that of the average one.
func (c *cautious) reserves() {
	reserve, vain, doubtful := slices.Clone(c.need.due), 0.0, 0.0
	for leg := range reserve {
		stop := leg + 1
		found := c.need.available(stop)
		if !c.need.sells(stop) || found > nearlySure {
			continue
		}
		vain, doubtful = vain+1-found, doubtful+1
		use := 0.0
		for q := 2 * stop; q < min(2*c.need.seller[stop], 2*len(c.stops)-1); q++ {
			use += c.use(q)
		}
		reserve[leg] = max(reserve[leg], use)
	}
	if doubtful == 0 {
		return
	}
	c.brief.Reserve = reserve
	c.brief.ReserveMissingCost = max(c.brief.ReserveMissingCost, min(vain/doubtful*c.need.miss, dearest(*c.brief, len(c.stops))))
}

// use is a need's use in a period by the brief.
func (c *cautious) use(q int) float64 {
	s := c.stops[q/2]
	if q%2 == 0 {
		return c.need.in[q/2] * (s.Depart - s.Arrive)
	}
	return c.need.sea[q/2] * (c.stops[q/2+1].Arrive - s.Depart)
}

// Plan plans a brief with caution and says what the plan costs by the brief
// itself. bound is what no plan for the brief can cost less than, 0 when none
// is proven. Errors are those of Cautious and plan.Solve.
func Plan(ctx context.Context, b plan.Brief, d Doubt, budget plan.Budget, bound float64, better func(plan.Plan)) (plan.Plan, error) {
	shy, err := Cautious(b, d)
	if err != nil {
		return plan.Plan{}, err
	}
	p, err := plan.Solve(ctx, shy, budget, better)
	if err != nil {
		return plan.Plan{}, fmt.Errorf("plan with caution: %w", err)
	}
	return underway.Restate(b, p, bound)
}

// Seasons walked to choose a plan by, with a seed of their own, so that who
// walks the chosen plan meets others.
const (
	choiceWalks = 300
	choiceSeed  = 0x5eed
)

// Choice is a careful plan set against the plain one.
type Choice struct {
	Plan    plan.Plan  // the careful one where it pays, else the plain one
	Careful bool       // it is the careful one
	Pays    Difference // the careful one less the plain one, both walked with care
}

// Prefer keeps a careful plan only where the season, walked with care, costs
// less by it than by the plain plan. Errors are those of Walk.
func Prefer(ctx context.Context, b plan.Brief, d Doubt, plain, careful plan.Plan) (Choice, error) {
	var walks [2]*Walked
	for i, x := range []plan.Plan{plain, careful} {
		var err error
		if walks[i], err = Walk(ctx, b, d, x, Options{Walks: choiceWalks, Seed: choiceSeed, Policy: Careful}); err != nil {
			return Choice{}, err
		}
	}
	c := Choice{Plan: plain, Pays: Compare(walks[0], walks[1])}
	if c.Pays.Total.Mean < 0 {
		c.Plan, c.Careful = careful, true
	}
	return c, nil
}
