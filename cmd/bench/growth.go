package main

import (
	"context"
	"fmt"

	"hardtack/route/plan"
	"hardtack/route/plan/instance"
)

type growthCmd struct {
	Needs []int   `default:"15,30,60,120" help:"Numbers of needs, at 14 stops."`
	Stops []int   `default:"6,10,14,20,30" help:"Numbers of stops, with 60 needs."`
	Seeds uint64  `default:"3" help:"Seeds of each; the median counts."`
	Near  float64 `default:"0.02" help:"The time counted is that until a plan this near, as a part, to the run's best."`
	SVG   string  `help:"Draw both lines into this file." placeholder:"FILE"`
}

// Run prints the time until a good plan against both sizes.
func (c *growthCmd) Run(ctx context.Context) error {
	needs, err := c.measure(ctx, "needs", c.Needs, func(n int) instance.Shape {
		return instance.Shape{Needs: n, Alternates: n / 4, Stops: 14, Days: 250}
	})
	if err != nil {
		return err
	}
	stops, err := c.measure(ctx, "stops", c.Stops, func(n int) instance.Shape {
		return instance.Shape{Needs: 60, Alternates: 15, Stops: n, Days: 18 * float64(n)}
	})
	if err != nil || c.SVG == "" {
		return err
	}
	return draw(c.SVG, "needs, or stops", needs, stops)
}

// measure prints the times of some sizes and their exponent.
func (c *growthCmd) measure(ctx context.Context, what string, sizes []int, shape func(int) instance.Shape) (l line, err error) {
	fmt.Printf("| %s | seconds until within %g %% |\n|---|---|\n", what, 100*c.Near)
	l.name = what
	for _, n := range sizes {
		var times []float64
		for seed := range c.Seeds {
			t, err := c.time(ctx, instance.Of(seed+1, shape(n), false))
			if err != nil {
				return l, err
			}
			times = append(times, t)
		}
		m := median(times)
		fmt.Printf("| %d | %.3f |\n", n, m)
		l.x, l.seconds = append(l.x, float64(n)), append(l.seconds, m)
	}
	if len(l.x) > 1 {
		fmt.Printf("\nexponent of time against %s: %.2f\n", what, exponent(l.x, l.seconds))
	}
	fmt.Println()
	return l, nil
}

// time is how long a good plan takes.
func (c *growthCmd) time(ctx context.Context, b plan.Brief) (float64, error) {
	type found struct{ at, cost float64 }
	var plans []found
	start := clock()
	p, err := plan.Solve(ctx, b, plan.Budget{}, func(p plan.Plan) {
		plans = append(plans, found{(clock() - start).Seconds(), p.Cost.Total})
	})
	if err != nil {
		return 0, err
	}
	for _, f := range plans {
		if f.cost <= p.Cost.Total*(1+c.Near) {
			return f.at, nil
		}
	}
	return (clock() - start).Seconds(), ctx.Err()
}
