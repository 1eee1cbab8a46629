package search

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"
)

// Other trips are another number than the plan makes, never less than none, and near
// to what the plan or the mix makes; both the one and the other way are drawn, and
// what is nearer to the mix more often.
func TestOtherTripsAreNearPlanOrMix(t *testing.T) {
	t.Parallel()
	more, less, farther, nearer := 0, 0, 0, 0
	for seed := range uint64(30) {
		m := drawNeed(rand.New(rand.NewPCG(seed, 67)))
		t.Run(fmt.Sprint(seed), func(t *testing.T) {
			m.prepare()
			s := newSeason(context.Background(), m, Options{Seed: seed, Work: 100_000, Workers: 1})
			x := s.mixer(s.all, newLoad(m), newPrices(m))
			x.generate(10, 1e-4)
			for stop := range m.Stops {
				s.load.kg[stop], s.load.away[stop] = float64(stop*3), int(seed+uint64(stop))%2
			}
			for range 200 {
				stop, trips := s.otherTrips(x)
				now, mixed := m.trips(stop, s.load.kg[stop], s.load.away[stop] > 0), x.tripsAt(stop)
				require.GreaterOrEqual(t, trips, 0.0)
				require.LessOrEqual(t, trips, m.mostTrips(stop))
				require.NotEqual(t, now, trips)
				require.True(t, math.Abs(trips-now) == 1 || math.Abs(trips-mixed) < 1)
				require.Positive(t, m.TripCost[stop])
				if trips > now {
					more++
				} else {
					less++
				}
				if math.Abs(trips-mixed) < 1 {
					nearer++
				} else {
					farther++
				}
			}
		})
	}
	require.Positive(t, more)
	require.Positive(t, less)
	require.Positive(t, farther)
	require.Greater(t, nearer, farther)
}
