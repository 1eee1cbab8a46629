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

// Whatever is done about a need costs at least what the walk says, and what
// the walk buys of one item costs hardly more.
func TestNoScheduleCostsLessThanTheChain(t *testing.T) {
	t.Parallel()
	for name, tt := range map[string]struct {
		draw func(*rand.Rand) *Model
		near float64
	}{"one item": {drawItem, 0.96}, "two items": {drawNeed, 0.8}} {
		t.Run(name, func(t *testing.T) {
			bounds, values := 0.0, 0.0
			for seed := range uint64(200) {
				m := tt.draw(rand.New(rand.NewPCG(seed, 11)))
				bound, value := chainAndBest(t, m, seed)
				require.LessOrEqual(t, bound, value*(1+1e-9), "seed %d", seed)
				bounds, values = bounds+bound, values+value
			}
			require.Greater(t, bounds, tt.near*values, "the walk is nowhere near")
		})
	}
}

// chainAndBest is what the walk says a need costs at least, and the cheapest
// of many schedules.
func chainAndBest(t *testing.T, m *Model, seed uint64) (bound, value float64) {
	r := rand.New(rand.NewPCG(seed, 12))
	p := drawPrices(r, m)
	k := &seeker{allocator: newAllocator(m, nil, p), work: &Work{1e6, context.Background()}, depth: 9}
	c := newChain(m, m.Needs[0], &slate{})
	require.NotNil(t, c)
	bound = c.bound(p, 0)
	best, value := k.fresh(0)
	best, value = k.polish(0, best, value)
	tries := []*Schedule{newSchedule(m, m.Needs[0])}
	c.trace(tries[0])
	for range 300 {
		s := newSchedule(m, m.Needs[0])
		for o, offer := range m.Needs[0].Offers {
			s.Packs[o] = max(offer.Min, min(offer.Limit, best.Packs[o]+r.IntN(3)-1))
		}
		tries = append(tries, s)
	}
	for _, s := range tries {
		for mode := range modes {
			s.Mode = mode
			value = min(value, k.value(0, s))
		}
	}
	return bound, value
}

// A need sold in many sizes of pack at a stop, more than a walk looks at too, is planned
// about as well as one without those that nobody buys, a unit in them being dearer.
func TestManySizesOfPacks(t *testing.T) {
	t.Parallel()
	for _, sizes := range []int{mostGoods, mostGoods + 1} {
		dearer := 0.0
		for seed := range uint64(40) {
			draw := func() *Model { return drawNeed(rand.New(rand.NewPCG(seed, 13))) }
			few := Run(context.Background(), draw(), Options{Work: 4000}).Total()
			m := draw()
			n := m.Needs[0]
			s := &n.Sources[0]
			dearest := n.Offers[s.Offers[0]]
			for len(s.Offers) < sizes {
				s.Offers = append(s.Offers, len(n.Offers))
				n.Offers = append(n.Offers, Offer{Source: 0, Size: dearest.Size * float64(1+len(s.Offers)), Price: dearest.Price * float64(2+len(s.Offers)), Limit: 3})
			}
			if sizes > mostGoods {
				require.Nil(t, newChain(m, n, &slate{}), "seed %d", seed)
			}
			r := Run(context.Background(), m, Options{Work: 4000})
			require.LessOrEqual(t, r.Bound, r.Total()*(1+1e-9))
			require.LessOrEqual(t, r.Total(), few*1.04, "%d sizes, seed %d", sizes, seed)
			dearer += (r.Total()/few - 1) / 40
		}
		require.LessOrEqual(t, dearer, 0.0015, "%d sizes", sizes)
	}
}
