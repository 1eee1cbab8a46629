package api_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"hardtack/api"
	"hardtack/pricing/money"
	"hardtack/route"
	"hardtack/route/brief"
)

func TestWishesComeAndGo(t *testing.T) {
	t.Parallel()
	s, _ := service(t, june)
	_, err := s.PutVoyage(ctx, route.Voyage{ID: "v", Home: money.Currency("EUR"), Stops: []route.Stop{
		{Port: "PTHOR", Arrive: day("2026-07-01"), Depart: day("2026-07-05")}, {Port: "x-madalena-do-pico", StayDays: 10},
	}}, api.Absent)
	require.NoError(t, err)
	least := func(x float64) brief.Wish { return brief.Wish{Item: "rice_white", Port: "PTHOR", Least: x} }
	never := brief.Wish{Item: "rice_white", Never: true}
	_, err = s.Wish(ctx, "v", least(3))
	require.NoError(t, err)
	_, err = s.Wish(ctx, "v", never)
	require.NoError(t, err)
	kept, err := s.Wish(ctx, "v", least(5))
	require.NoError(t, err)
	require.Equal(t, []brief.Wish{never, least(5)}, kept.Value.Wishes, "one of an item, port and sort")
	kept, err = s.Unwish(ctx, "v", never)
	require.NoError(t, err)
	require.Equal(t, []brief.Wish{least(5)}, kept.Value.Wishes)
	_, err = s.Unwish(ctx, "v", never)
	require.ErrorIs(t, err, api.ErrNotFound)
	_, err = s.Wish(ctx, "v", brief.Wish{Item: "rice_whit", Never: true})
	require.ErrorIs(t, err, api.ErrInvalid)
	_, err = s.Wish(ctx, "none", never)
	require.ErrorIs(t, err, api.ErrNotFound)
}
