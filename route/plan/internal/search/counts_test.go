package search

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
)

// heldOffers goes through the offers of plans for a few random needs.
func heldOffers(do func(h *Held, need, offer int, at string)) {
	for seed := range uint64(12) {
		r := rand.New(rand.NewPCG(seed, 71))
		m := drawNeed(r)
		for range 3 {
			m.Needs = append(m.Needs, drawNeed(r).Needs...)
		}
		h := Hold(m, Run(context.Background(), m, Options{Work: 3000}).Schedules)
		for need, n := range m.Needs {
			for offer := range n.Offers {
				do(h, need, offer, fmt.Sprintf("seed %d, need %d, offer %d", seed, need, offer))
			}
		}
	}
}

// instead is what a plan would cost with another schedule of a need, or as it is.
func (h *Held) instead(need int, s *Schedule) float64 {
	plan := slices.Clone(h.plan)
	plan[need] = s.clone()
	return Hold(h.m, plan).Result().Total()
}

// What a count is said to cost is what its schedule costs but for those packs.
func TestCountsCostWhatTheirSchedulesDo(t *testing.T) {
	t.Parallel()
	found := 0
	heldOffers(func(h *Held, need, offer int, at string) {
		price, now := h.m.Needs[need].Offers[offer].Price, h.plan[need].Packs[offer]
		c := h.counts(context.Background(), need, offer, now+9)
		others, total := math.Inf(1), h.Result().Total()
		for x, s := range c.plans {
			if s != nil {
				require.Equal(t, x, s.Packs[offer], at)
				rest := h.instead(need, s) - float64(x)*price - c.costs[x] // of all others, the same for every count
				if found++; math.IsInf(others, 1) {
					others = rest
				}
				require.InDelta(t, others, rest, 1e-6*total, "%s, %d packs", at, x)
			}
		}
	})
	require.Greater(t, found, 200)
}

// What is said of the packs that a plan buys of an offer is no dearer than the plan, and
// settled on what is best at the price, the plan costs what is said.
func TestCountsAgreeWithThePlan(t *testing.T) {
	t.Parallel()
	changed := 0
	heldOffers(func(h *Held, need, offer int, at string) {
		price, packs := h.m.Needs[need].Offers[offer].Price, h.plan[need].Packs[offer]
		before := h.Result().Total()
		c := h.counts(context.Background(), need, offer, packs+3)
		cost := func(costs []float64, x int) float64 { return costs[x] + float64(x)*price }
		now := h.instead(need, c.plans[packs])
		require.LessOrEqual(t, now, before*(1+1e-9), at)
		others := now - cost(c.costs, packs)

		settled := h.Settle(context.Background(), need, offer, packs+3)
		taken := h.plan[need].Packs[offer]
		for x := range settled {
			require.LessOrEqual(t, cost(settled, taken), cost(settled, x)*(1+2e-7)+2e-7, at)
		}
		require.InDelta(t, others+cost(settled, taken), h.Result().Total(), 1e-6*before, at)
		if taken != packs {
			changed++
		}
	})
	require.Positive(t, changed)
}
