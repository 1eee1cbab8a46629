package api_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"hardtack/route/geo"
)

func TestTracksGoFromPortToPortOverWater(t *testing.T) {
	t.Parallel()
	s, _, id := demo(t)
	v, err := s.Voyage(ctx, id)
	require.NoError(t, err)
	it, err := s.Itinerary(ctx, id)
	require.NoError(t, err)
	tracks, err := s.Tracks(ctx, v.Value)
	require.NoError(t, err)
	require.Len(t, tracks, len(it.Ways))
	for i, way := range tracks {
		from, err := s.Port(ctx, v.Value.Stops[i].Port)
		require.NoError(t, err)
		require.Equal(t, from.Position, way[0])
		sea := geo.Along(way[1 : len(way)-1])
		measured := float64(it.Ways[i].DistanceNM)
		require.InDelta(t, measured, float64(sea), max(20, 0.05*measured), "leg %d is drawn as it was measured, the port's own waters apart", i)
	}
}
