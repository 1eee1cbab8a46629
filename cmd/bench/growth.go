package main

import (
	"context"
	"fmt"
	"math"

	"hardtack/route/plan"
	"hardtack/route/plan/instance"
)

type growthCmd struct {
	Needs []int   `default:"15,30,60,120" help:"Numbers of needs, at 14 stops."`
	Stops []int   `default:"6,10,14,20,30" help:"Numbers of stops, with 60 needs."`
	Seeds uint64  `default:"3" help:"Seeds of each; the median counts."`
	Near  float64 `default:"0.02" help:"The time counted is that until a plan this near, as a part, to the run's best."`
}

// Run prints the time until a good plan against both sizes.
func (c *growthCmd) Run(ctx context.Context) error {
	if err := c.line(ctx, "needs", c.Needs, func(n int) instance.Shape {
		return instance.Shape{Needs: n, Alternates: n / 4, Stops: 14, Days: 250}
	}); err != nil {
		return err
	}
	return c.line(ctx, "stops", c.Stops, func(n int) instance.Shape {
		return instance.Shape{Needs: 60, Alternates: 15, Stops: n, Days: 18 * float64(n)}
	})
}

func (c *growthCmd) line(ctx context.Context, what string, sizes []int, shape func(int) instance.Shape) error {
	fmt.Printf("| %s | seconds until within %g %% |\n|---|---|\n", what, 100*c.Near)
	var x, y []float64
	for _, n := range sizes {
		var times []float64
		for seed := range c.Seeds {
			t, err := c.time(ctx, instance.Of(seed+1, shape(n), false))
			if err != nil {
				return err
			}
			times = append(times, t)
		}
		m := median(times)
		fmt.Printf("| %d | %.3f |\n", n, m)
		x, y = append(x, math.Log(float64(n))), append(y, math.Log(m))
	}
	if len(x) > 1 {
		fmt.Printf("\nexponent of time against %s: %.2f\n\n", what, slope(x, y))
	}
	return nil
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

// slope is that of the least-squares line.
func slope(x, y []float64) float64 {
	mx, my := mean(x), mean(y)
	xy, xx := 0.0, 0.0
	for i := range x {
		xy += (x[i] - mx) * (y[i] - my)
		xx += (x[i] - mx) * (x[i] - mx)
	}
	return xy / xx
}
