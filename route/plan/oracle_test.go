package plan_test

import (
	"context"
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"

	"hardtack/route/plan"
	"hardtack/route/plan/instance"
)

// soundWork is a small budget: bound and plan must be sound at any.
const soundWork = 25_000

// requireSound holds a plan to a brief's true optimum: it keeps every rule,
// proves no more than is true and claims no less than is possible.
func requireSound(t testing.TB, b plan.Brief, optimum float64, budget plan.Budget) plan.Plan {
	t.Helper()
	p, err := plan.Solve(context.Background(), b, budget, nil)
	require.NoError(t, err)
	require.NoError(t, plan.Verify(b, p))
	slack := 1e-6*optimum + 1e-6
	require.LessOrEqual(t, p.Bound, optimum+slack, "the bound is above the optimum")
	require.GreaterOrEqual(t, p.Cost.Total, optimum-slack, "the plan is below the optimum")
	return p
}

// tinyBrief is the brief of a seed; every fourth has wishes.
func tinyBrief(seed uint64) plan.Brief {
	b := instance.Random(seed, instance.Tiny, seed%2 == 1)
	if seed%4 >= 2 {
		for n := range b.Needs {
			if offers := b.Needs[n].Items[0].Offers; len(offers) > 0 {
				offers[int(seed/4)%len(offers)].Min = 1
			}
		}
	}
	return b
}

// Optima by CBC on the exported model, which shares no code with Solve.
func TestSolveAgainstCBC(t *testing.T) {
	t.Parallel()
	for seed := range uint64(16) {
		t.Run(fmt.Sprintf("seed %d", seed), func(t *testing.T) {
			t.Parallel()
			b := tinyBrief(seed)
			optimum := cbcOptimum(t, b, asLP)
			p := requireSound(t, b, optimum, plan.Budget{Seed: seed, Work: soundWork})
			t.Logf("optimum %.4f, plan %+.3f %%, bound %+.3f %%", optimum,
				100*(p.Cost.Total/optimum-1), 100*(p.Bound/optimum-1))
		})
	}
}

// The optima are published or proven by other solvers; see where each is
// declared.
func TestSolveAgainstKnownOptima(t *testing.T) {
	t.Parallel()
	cases := map[string]struct {
		brief   plan.Brief
		optimum float64
	}{"stock6": {stock6(t), stock6Optimum}, "small-104": {readBrief(t, "small-104"), 1463.935485}}
	for name, optimum := range provenTiny {
		cases[name] = struct {
			brief   plan.Brief
			optimum float64
		}{readBrief(t, name), optimum}
	}
	for age, cost := range wwAges {
		cases[fmt.Sprintf("wagner-whitin age %d", age)] = struct {
			brief   plan.Brief
			optimum float64
		}{wagnerWhitin(age + 1), cost - wwCost(0)}
	}
	for name, tt := range cases {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			p := requireSound(t, tt.brief, tt.optimum, plan.Budget{Work: soundWork})
			t.Logf("optimum %.4f, plan %+.3f %%, bound %+.3f %%", tt.optimum,
				100*(p.Cost.Total/tt.optimum-1), 100*(p.Bound/tt.optimum-1))
		})
	}
}
