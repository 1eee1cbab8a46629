package search

import (
	"context"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"
)

// drawItem makes a need of one item.
func drawItem(r *rand.Rand) *Model {
	m := drawNeed(r)
	n := m.Needs[0]
	var kept []Source
	for _, s := range n.Sources {
		if s.Item == 0 {
			kept = append(kept, s)
		}
	}
	first := kept[0]
	lives := []float64{5 + r.Float64()*30, 5 + r.Float64()*30}
	var offers []Offer
	for i := range kept {
		s := &kept[i]
		s.Taste, s.Kg = first.Taste, first.Kg
		for w := range s.Ways {
			s.Ways[w].Litres = 1
			if s.Aboard < 0 {
				s.Ways[w].Expires = float64(9*s.Stop+1) + lives[w]*(0.9+0.2*r.Float64())
			}
		}
		for k, o := range s.Offers {
			offer := n.Offers[o]
			offer.Source, offer.Min = i, 0
			s.Offers[k] = len(offers)
			offers = append(offers, offer)
		}
	}
	n.Sources, n.Offers = kept, offers
	return m
}

// Whatever is done about a need of one item costs at least what the walk says,
// and what the walk buys costs hardly more.
func TestNoScheduleCostsLessThanTheChain(t *testing.T) {
	t.Parallel()
	bounds, values := 0.0, 0.0
	for seed := range uint64(200) {
		r := rand.New(rand.NewPCG(seed, 11))
		m := drawItem(r)
		p := drawPrices(r, m)
		k := &seeker{allocator: newAllocator(m, nil, p, []int{0}), work: &Work{1e6, context.Background()}, depth: 9}
		c := newChain(m, m.Needs[0], &slate{})
		require.NotNil(t, c)
		bound := c.bound(p, 0)
		best, value := k.fresh(0)
		best, value = k.polish(0, best, value)
		traced := newSchedule(m, m.Needs[0])
		c.trace(traced)
		for mode := range modes {
			traced.Mode = mode
			value = min(value, k.value(0, traced))
		}
		for range 300 {
			s := newSchedule(m, m.Needs[0])
			s.Mode = Mode(r.IntN(int(modes)))
			for o, offer := range m.Needs[0].Offers {
				s.Packs[o] = max(offer.Min, min(offer.Limit, best.Packs[o]+r.IntN(3)-1))
			}
			value = min(value, k.value(0, s))
		}
		require.LessOrEqual(t, bound, value*(1+1e-9), "seed %d", seed)
		bounds, values = bounds+bound, values+value
	}
	require.Greater(t, bounds, 0.97*values, "the walk is nowhere near")
}
