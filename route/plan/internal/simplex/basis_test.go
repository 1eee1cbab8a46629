package simplex_test

import (
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"hardtack/route/plan/internal/simplex"
)

// A program gone back to a basis it had stands where it stood then, and from
// nothing or from columns that are no basis it starts at the unit columns.
func TestStartGoesBack(t *testing.T) {
	t.Parallel()
	r := rand.New(rand.NewPCG(5, 1))
	l := simplex.New([]float64{50, 50, 50, 50}, []float64{3, 5, 2, 4})
	more := func() {
		for range 12 {
			l.Add(r.Float64()*9, []simplex.Entry{{Row: r.IntN(2), Value: 0.5 + r.Float64()}, {Row: 2 + r.IntN(2), Value: 0.5 + r.Float64()}})
		}
		l.Solve(1000)
	}
	more()
	cost, basis := l.Cost(), l.Basis(nil)
	more()
	better := l.Cost()
	require.Less(t, better, cost)
	l.Start(basis)
	require.InDelta(t, cost, l.Cost(), 1e-9)
	for _, start := range [][]int{nil, {4, 4, 4, 4}} {
		l.Start(start)
		require.InDelta(t, 700, l.Cost(), 1e-9)
		l.Solve(1000)
		require.InDelta(t, better, l.Cost(), 1e-7)
	}
}
