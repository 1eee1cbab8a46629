package search

import (
	"context"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"
)

// By hand: 2 a day over stays of a day and legs of eight; apples keep ten days
// and cost 1, tins keep for ever and cost 3, both at the first stop only. The
// apples are eaten first, the tins on the second leg.
func TestAMarchEatsWhatKeepsShortestFirst(t *testing.T) {
	t.Parallel()
	n := &Need{Miss: 50, Due: []float64{0, 0}, Until: []float64{9, 18}}
	for _, period := range []int{1, 3} {
		n.Segments = append(n.Segments, Segment{Period: period, End: float64(9 * (period + 1) / 2), Amount: 16})
	}
	n.Sources = []Source{
		{Item: 0, Aboard: -1, Last: 4, Offers: []int{0}, Ways: []Way{{Litres: 1, Expires: 10}}},
		{Item: 1, Aboard: -1, Last: 4, Offers: []int{1}, Ways: []Way{{Litres: 1, Expires: 500}}},
	}
	n.Offers = []Offer{{Source: 0, Size: 1, Price: 1, Limit: MaxPacks}, {Source: 1, Size: 2, Price: 6, Limit: MaxPacks}}
	m := &Model{Stops: 3, TripCost: make([]float64, 3), Carry: []float64{1e9, 1e9, 1e9}, Room: []float64{1e9, 1e9}, Needs: []*Need{n}}
	s := newSchedule(m, n)
	newMarch(m, n, &slate{}).run(newPrices(m), 0, s)
	require.Equal(t, []int{16, 8}, s.Packs)
}

// A march finds what costs little more than what many changes of the schedule
// of cheapest sources come to, and at the prices of random needs never costs
// less than the chain says is least.
func TestAMarchIsNearTheBest(t *testing.T) {
	t.Parallel()
	marches, values := 0.0, 0.0
	for seed := range uint64(200) {
		r := rand.New(rand.NewPCG(seed, 11))
		m := drawNeed(r)
		bound, value := chainAndBest(t, m, seed)
		p := drawPrices(rand.New(rand.NewPCG(seed, 12)), m)
		k := &seeker{allocator: newAllocator(m, nil, p), work: &Work{1e6, context.Background()}, depth: 9,
			chains: make([]*chain, 1), marches: []*march{newMarch(m, m.Needs[0], &slate{})}}
		_, cost, _ := k.walk(0)
		require.GreaterOrEqual(t, cost, bound*(1-1e-9), "seed %d", seed)
		marches, values = marches+cost, values+min(cost, value)
	}
	require.Less(t, marches, 1.03*values)
	t.Logf("marches cost %.2f %% more than the best known", 100*(marches/values-1))
}

// What needs take beyond the room shrinks as prices are haggled for.
func TestHagglingFitsNeedsIntoTheRoom(t *testing.T) {
	t.Parallel()
	over := func(h *haggler) float64 {
		h.demand()
		sum := 0.0
		for r, row := range h.over {
			for _, x := range row {
				if !math.IsInf(h.m.Room[r], 1) {
					sum += max(0, x/h.m.Room[r])
				}
			}
		}
		return sum
	}
	for seed := range uint64(20) {
		r := rand.New(rand.NewPCG(seed, 13))
		m := drawNeed(r)
		for range 5 {
			m.Needs = append(m.Needs, drawNeed(r).Needs...)
		}
		h := newHaggler(m, newPrices(m))
		h.prices.settle()
		before := over(h)
		h.run(60)
		require.LessOrEqual(t, over(h), before*0.5+0.5, "seed %d", seed)
	}
}
