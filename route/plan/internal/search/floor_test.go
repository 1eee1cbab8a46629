package search

import (
	"context"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"
)

// A schedule is given up only when it costs more than the one to beat; if it is
// not, its cost is the same to the last bit.
func TestOnlyDearerSchedulesAreGivenUp(t *testing.T) {
	t.Parallel()
	given, dearer := 0, 0
	for seed := range uint64(200) {
		r := rand.New(rand.NewPCG(seed, 21))
		m := drawNeed(r)
		load := newLoad(m)
		for k := range load.all {
			load.all[k] *= 0.1 + 0.9*r.Float64()
		}
		k := &seeker{allocator: newAllocator(m, load, drawPrices(r, m)), marginal: seed%2 > 0, work: &Work{1e6, context.Background()}}
		for range 100 {
			s := newSchedule(m, m.Needs[0])
			s.Mode = Mode(r.IntN(int(modes)))
			for o, offer := range m.Needs[0].Offers {
				s.Packs[o] = offer.Min + r.IntN(3)*r.IntN(2)
			}
			for stop := range s.Stay {
				s.Stay[stop] = r.IntN(4) == 0
			}
			before := append([]float64(nil), load.all...)
			cost := k.value(0, s)
			for _, part := range []float64{0.3, 0.8, 1 - 1e-6, 1, 1.2} {
				again := k.valueWithin(0, s.clone(), part*cost)
				if part < 1 {
					dearer++
				}
				if math.IsInf(again, 1) {
					given++
					require.Less(t, part, 1.0, "seed %d: given up at a limit of %v, cost %v", seed, part*cost, cost)
					continue
				}
				require.Equal(t, cost, again, "seed %d", seed)
			}
			require.Equal(t, before, load.all, "seed %d: the room is as it was", seed)
		}
	}
	require.Greater(t, given, dearer/2, "few schedules are given up")
}
