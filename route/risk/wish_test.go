package risk

import (
	"context"
	"testing"

	"github.com/stretchr/testify/require"

	"hardtack/pricing/item"
	"hardtack/testdata/plantest"
)

// One crossing of 20 days lognormal with 0.2, nothing else in doubt: it lasts
// with 95 % once 20·exp(0.2·1.645) − 20 = 7.8 days are added, with 80 % after
// 3.7, so the least of the days looked at that do are 10 and 4; by hand. More
// is met by more money.
func TestTheLeastReserveForAWish(t *testing.T) {
	t.Parallel()
	b := crossing()
	b.Needs[0].Items[0].Offers[0].Pack, b.Needs[0].Items[0].Offers[0].Price = 0.01, 0.02
	d := sure(b)
	d.Legs[0] = 0.2
	d.Needs[0].Class = item.Comfort // so that nothing is held for its own sake
	p, spent := plantest.Solved(t, b, 2000), -1.0
	for _, tt := range []struct{ wished, days float64 }{{0.501, 0}, {0.8, 4}, {0.95, 10}, {0.99, 14}} {
		k, err := Keep(context.Background(), b, d, p, tt.wished, Options{Walks: 4000})
		require.NoError(t, err)
		require.Len(t, k.Classes, 1)
		c := k.Classes[0]
		require.True(t, c.Met)
		require.Equal(t, tt.days, c.Days, "%v", tt.wished)
		require.GreaterOrEqual(t, c.Reached, tt.wished-0.02, "seasons it was not chosen by")
		require.InDelta(t, 2*tt.days, k.Spent.Mean, 0.1)
		require.Greater(t, k.Spent.Mean, spent)
		spent = k.Spent.Mean
	}
	_, err := Keep(context.Background(), b, d, p, 1, Options{})
	require.ErrorIs(t, err, ErrInput)
}

// A shelf that is empty one time in four leaves a quarter of the crossings
// without, and no reserve helps.
func TestAWishNoReserveMeets(t *testing.T) {
	t.Parallel()
	b := crossing()
	d := sure(b)
	d.Needs[0].Items[0].Stops[0].Available = 0.75
	k, err := Keep(context.Background(), b, d, plantest.Solved(t, b, 1000), 0.9, Options{Walks: 1000})
	require.NoError(t, err)
	require.False(t, k.Classes[0].Met)
	require.Zero(t, k.Classes[0].Days, "money is not spent for nothing")
	require.InDelta(t, 0.25, k.Classes[0].Bare, 0.05)
}
