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

// Whatever is done about a need costs, with the room it takes, at least what
// the closer says at any moment.
func TestNoScheduleCostsLessThanTheCloser(t *testing.T) {
	t.Parallel()
	settled := 0
	for seed := range uint64(60) {
		r := rand.New(rand.NewPCG(seed, 21))
		m := drawNeed(r)
		p := drawPrices(r, m)
		n := m.Needs[0]
		k := &seeker{allocator: newAllocator(m, newLoad(m), p), work: &Work{1e6, context.Background()}, depth: 9}
		value := math.Inf(1)
		try := func(s *Schedule) {
			for mode := range modes {
				u := s.clone()
				u.Mode = mode
				value = min(value, k.value(0, u))
			}
		}
		c := newCloser(m, p, 0, nil)
		c.offer = try
		last := math.Inf(-1)
		for range 40 {
			bound := c.run(math.Inf(1), 100)
			require.GreaterOrEqual(t, bound, last-1e-9*math.Abs(bound), "seed %d: a bound never falls", seed)
			last = bound
			for range 20 {
				s := newSchedule(m, n)
				for o, offer := range n.Offers {
					s.Packs[o] = offer.Min + r.IntN(min(3, offer.Limit-offer.Min+1))
				}
				try(s)
			}
			require.LessOrEqual(t, bound, value*(1+1e-9), "seed %d", seed)
		}
		if c.best == nil || last < c.enough() {
			continue
		}
		settled++
		require.InEpsilon(t, c.known, last, 1e-4, "seed %d: settled", seed)
	}
	require.Greater(t, settled, 50)
}

// The least that random needs cost is what CBC proves of the same problem.
func TestACloserEndsWhereCBCDoes(t *testing.T) {
	t.Parallel()
	for seed := range uint64(12) {
		t.Run(fmt.Sprint(seed), func(t *testing.T) {
			r := rand.New(rand.NewPCG(seed, 22))
			m := drawNeed(r)
			m.Room = [][]float64{{20, 8, math.Inf(1)}, {3, 2, 4}}[seed%2]
			p := drawPrices(r, m)
			p.settle()
			want := needByCBC(t, m, p)
			c := newCloser(m, p, 0, nil)
			require.InEpsilon(t, want, c.run(math.Inf(1), 300_000), 1e-4, "the bound")
			require.InEpsilon(t, want, c.known, 1e-4, "the schedule")
			n := m.Needs[0]
			k := &seeker{allocator: newAllocator(m, newLoad(m), p), work: &Work{1e6, t.Context()}}
			k.recount(n, c.best)
			require.InEpsilon(t, want, p.cost(n, 0, c.best), 1e-4, "what becomes of it")
			c.best = k.share(0, c.best)
			require.InEpsilon(t, want, p.cost(n, 0, c.best), 1e-4, "shared out exactly")
			left, lacks := make([]float64, len(n.Sources)), make([]float64, len(n.Segments))
			for i := range left {
				left[i] = n.supply(i, c.best.Packs)
			}
			for g := range lacks {
				lacks[g] = n.Segments[g].Amount
			}
			for _, f := range c.best.Flows {
				if left[f.Source] -= f.Amount; f.Segment >= 0 {
					lacks[f.Segment] -= f.Amount
				}
			}
			require.GreaterOrEqual(t, slices.Min(left), -1e-9, "packs feed it")
			require.GreaterOrEqual(t, slices.Min(lacks), -1e-9, "no more is eaten than is used")
			// Worths that are far off are found back from.
			for _, off := range []float64{0, 0.2, 30} {
				worth := c.h.worths()
				for k := range worth {
					most := n.Miss
					if k >= len(n.Segments) {
						most = n.ReserveMiss
					}
					worth[k] = min(most, off*worth[k])
				}
				require.InEpsilon(t, want, newCloser(m, p, 0, worth).run(math.Inf(1), 300_000), 1e-4, "worths %v times as high", off)
			}
			// The nearer the known cost, the more is fixed; what is cheaper must stay.
			for _, above := range []float64{1.0001, 1.003, 1.05} {
				c := newCloser(m, p, 0, nil)
				last := c.run(want*above, 300_000)
				require.LessOrEqual(t, last, want*(1+1e-7), "known %v", above)
				require.InEpsilon(t, want, last, 1e-4, "known %v", above)
			}
		})
	}
}
