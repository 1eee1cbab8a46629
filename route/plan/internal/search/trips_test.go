package search

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"
)

// A mix makes a trip for what has no weight too: paid by weight alone, it was carried
// away for nothing, and a plan made of such a mix cost a trip more than the mix.
func TestAMixMakesTripsForWhatHasNoWeight(t *testing.T) {
	t.Parallel()
	made := 0
	for seed := range uint64(60) {
		r := rand.New(rand.NewPCG(seed, 61))
		m := drawNeed(r)
		for i := range m.Needs[0].Sources {
			m.Needs[0].Sources[i].Kg = 0
		}
		t.Run(fmt.Sprint(seed), func(t *testing.T) {
			m.prepare()
			s := newSeason(context.Background(), m, Options{Work: 100_000, Workers: 1})
			x := s.mixer(s.all, newLoad(m), newPrices(m))
			x.generate(10, 1e-4)
			s.tie(x)
			for stop, cost := range m.TripCost {
				away := 0.0
				for _, c := range x.pool[0] {
					if c.schedule.Away[stop] {
						away += x.lp.Value(c.column)
					}
				}
				if cost == 0 || away < 1e-6 {
					continue
				}
				require.GreaterOrEqual(t, x.tripsAt(stop), away-1e-6, "stop %d", stop)
				require.True(t, x.tied[stop] || math.IsInf(m.Carry[stop], 1))
				made++
			}
		})
	}
	require.Greater(t, made, 20)
}
