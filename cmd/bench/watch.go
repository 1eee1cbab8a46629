package main

import (
	"context"
	"fmt"
	"time"

	"hardtack/route/plan"
)

// course is how a solve went.
type course struct {
	first     time.Duration // until the first plan
	firstCost float64
	at        []float64 // cost after each time asked for
	last      plan.Plan
	took      time.Duration
}

// watch solves a brief until the last of the times on a clock, in rising order,
// and holds the plan to the contract.
func watch(ctx context.Context, b plan.Brief, budget plan.Budget, clock func() time.Duration, times []float64) (course, error) {
	until := seconds(times[len(times)-1])
	ctx, stop := untilClock(ctx, clock, until)
	defer stop()
	c := course{at: make([]float64, len(times))}
	start := clock()
	cost, next := 0.0, 0
	note := func(now time.Duration) {
		for ; next < len(times) && now > seconds(times[next]); next++ {
			c.at[next] = cost
		}
	}
	p, err := plan.Solve(ctx, b, budget, func(p plan.Plan) {
		now := clock() - start
		note(now)
		if cost == 0 {
			c.first, c.firstCost = now, p.Cost.Total
		}
		cost = p.Cost.Total
	})
	if err != nil {
		return course{}, err
	}
	c.took, c.last = clock()-start, p
	note(c.took)
	for ; next < len(times); next++ {
		c.at[next] = p.Cost.Total
	}
	if err := plan.Verify(b, p); err != nil {
		return course{}, fmt.Errorf("the plan breaks the contract: %w", err)
	}
	return c, nil
}

func seconds(s float64) time.Duration { return time.Duration(s * float64(time.Second)) }
