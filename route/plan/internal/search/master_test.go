package search

import (
	"context"
	"testing"

	"github.com/stretchr/testify/require"

	"hardtack/route/plan/internal/simplex"
)

// Every pivot puts a dear column in the place of a cheap one, so that the cost tells
// how many there were.
func TestNoMorePivotsThanAskedFor(t *testing.T) {
	t.Parallel()
	const rows = 3 * fewPivots
	for _, pivots := range []int{fewPivots - 1, fewPivots, fewPivots + 1, 2*fewPivots + 7, rows, 5 * rows} {
		dear, one := make([]float64, rows), make([]float64, rows)
		for i := range rows {
			dear[i], one[i] = 10, 1
		}
		ma := &master{lp: simplex.New(dear, one)}
		for i := range rows {
			ma.lp.Add(1, []simplex.Entry{{Row: i, Value: 1}})
		}
		ma.gain(pivots, &Work{Left: 1000, ctx: context.Background()})
		require.InDelta(t, 10*rows-9*min(pivots, rows), ma.lp.Cost(), 1e-6, "%d pivots", pivots)
	}
}

// Nothing is done once the context has ended.
func TestNoPivotsAfterTheEnd(t *testing.T) {
	t.Parallel()
	ma := &master{lp: simplex.New([]float64{10}, []float64{1})}
	ma.lp.Add(1, []simplex.Entry{{Row: 0, Value: 1}})
	ctx, stop := context.WithCancel(context.Background())
	stop()
	ma.gain(5, &Work{Left: 1000, ctx: ctx})
	require.InDelta(t, 10, ma.lp.Cost(), 1e-9)
}
