package passage

import (
	"testing"

	"github.com/stretchr/testify/require"

	"hardtack/pricing/calendar"
	"hardtack/route"
)

// A to B in 20 days from day 3, four days there, 10 to C. By hand.
func TestWhatIsLeftOfAVoyage(t *testing.T) {
	t.Parallel()
	it := route.Itinerary{Start: 100,
		Calls: []route.Call{{Depart: 3}, {Arrive: 23, Depart: 27}, {Arrive: 37, Depart: 37}},
		Ways:  []route.Way{{DistanceNM: 2000, MedianDays: 20, Days90: 26, Ocean: true}, {DistanceNM: 900, MedianDays: 10, Days90: 13}}}
	for _, tt := range []struct {
		name   string
		day    calendar.Day
		calls  int
		depart float64
		arrive float64
		days   float64
		noShop bool
	}{
		{"before sailing", 101, 3, 2, 22, 20, false},
		{"the day of sailing", 103, 3, 0, 20, 20, false},
		{"half way", 113, 3, 0, 10, 10, true},
		{"in port", 125, 2, 2, 12, 10, false},
	} {
		t.Run(tt.name, func(t *testing.T) {
			t.Parallel()
			got, err := From(it, tt.day)
			require.NoError(t, err)
			require.Len(t, got.Calls, tt.calls)
			require.Zero(t, got.Calls[0].Arrive)
			require.Equal(t, tt.day, got.Start)
			require.Equal(t, tt.depart, got.Calls[0].Depart)
			require.Equal(t, tt.arrive, got.Calls[1].Arrive)
			require.InDelta(t, tt.days, got.Ways[0].MedianDays, 1e-9)
			require.Equal(t, tt.noShop, got.Calls[0].NoShops)
		})
	}
	require.Equal(t, 20.0, it.Ways[0].MedianDays, "the voyage given is left as it was")
	require.False(t, it.Calls[0].NoShops)
	for _, day := range []calendar.Day{99, 137, 200} {
		_, err := From(it, day)
		require.Error(t, err)
	}
	_, err := From(route.Itinerary{}, 1)
	require.Error(t, err)
}
