package search

import (
	"context"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"
)

// drawHeld is a plan for a few random needs.
func drawHeld(seed uint64) *Held {
	r := rand.New(rand.NewPCG(seed, 71))
	m := drawNeed(r)
	for range 3 {
		m.Needs = append(m.Needs, drawNeed(r).Needs...)
	}
	return Hold(m, Run(context.Background(), m, Options{Work: 3000}).Schedules)
}

// What a count is said to cost is what its schedule costs but for those packs.
func TestCountsCostWhatTheirSchedulesDo(t *testing.T) {
	t.Parallel()
	found := 0
	for seed := range uint64(12) {
		h := drawHeld(seed)
		for i, n := range h.m.Needs {
			for o, offer := range n.Offers {
				c := h.counts(context.Background(), i, o, h.plan[i].Packs[o]+9)
				for x, s := range c.plans {
					if s == nil {
						continue
					}
					u := s.clone()
					newAllocator(h.m, h.load, newPrices(h.m)).recount(n, u)
					h.load.add(n, h.plan[i], -1)
					cost := u.Own() + h.load.more(u) - float64(x)*offer.Price
					h.load.add(n, h.plan[i], 1)
					require.InDelta(t, cost, c.costs[x], 1e-6*(1+cost), "seed %d, need %d, offer %d, %d packs", seed, i, o, x)
					require.Equal(t, x, s.Packs[o])
					found++
				}
			}
		}
	}
	require.Greater(t, found, 200)
}

// What is said of the packs that a plan buys of an offer is no dearer than the plan, and
// settled on what is best at the price, the plan costs what is said.
func TestCountsAgreeWithThePlan(t *testing.T) {
	t.Parallel()
	changed := 0
	for seed := range uint64(12) {
		h := drawHeld(seed)
		for i, n := range h.m.Needs {
			for o := range n.Offers {
				price, packs := n.Offers[o].Price, h.plan[i].Packs[o]
				before := h.Result().Total()
				costs := h.Counts(context.Background(), i, o, packs+3)
				h.load.add(n, h.plan[i], -1)
				others, own := h.load.tripsCost(), h.plan[i].Own()
				h.load.add(n, h.plan[i], 1)
				now := own + h.Result().Trips - others
				require.LessOrEqual(t, costs[packs]+float64(packs)*price, now*(1+1e-9)+1e-9, "seed %d, need %d, offer %d", seed, i, o)

				settled := h.Settle(context.Background(), i, o, packs+3)
				taken := h.plan[i].Packs[o]
				best := settled[taken] + float64(taken)*price
				for x, cost := range settled {
					require.LessOrEqual(t, best, (cost+float64(x)*price)*(1+2e-7)+2e-7, "seed %d, need %d, offer %d", seed, i, o)
				}
				require.InDelta(t, before-now+best, h.Result().Total(), 1e-6*before, "seed %d, need %d, offer %d", seed, i, o)
				if taken != packs {
					changed++
				}
			}
		}
	}
	require.Positive(t, changed)
}
