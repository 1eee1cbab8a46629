package simplex

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
)

// Of rows and columns that are level the first is taken, so that a program is solved
// the same way each time.
func TestOfLevelOnesTheFirstIsTaken(t *testing.T) {
	t.Parallel()
	ruledOut := func() *LP {
		l := New([]float64{10, 10, 10}, []float64{3, 3, 3})
		for range 3 {
			l.Add(2, []Entry{{1, 1}, {2, 1}})
		}
		l.Rule(1, true)
		l.Rule(2, true)
		for i := range l.edges {
			l.edges[i] = 1
		}
		return l
	}
	l := ruledOut()
	require.Equal(t, 1, l.worst())
	l.reduceAll()
	c, _ := l.replacing(1)
	require.Equal(t, 3, c)
	l.express(3)
	require.Equal(t, 1, l.leaving())

	l.x[1], l.x[2] = 0, 0
	l.Add(2, []Entry{{1, -1}, {2, -1}})
	l.express(6)
	require.Equal(t, 1, l.leaving(), "what has been ruled out must not grow")

	work := [][]float64{{2, 1}, {-2, 3}}
	require.True(t, eliminate(work, 0))
	require.InDeltaSlice(t, []float64{1, 0.5}, work[0], 1e-12)
}

// A gain that rounding of such prices may have made is none.
func TestWhatGainsNextToNothingStaysOut(t *testing.T) {
	t.Parallel()
	for gain, pivots := range map[float64]int{1e-7: 0, 1e-5: 1} {
		l := New([]float64{1000}, []float64{1})
		l.Add(1000-gain, []Entry{{0, 1}})
		require.Equal(t, pivots, l.Solve(10), gain)
	}
}

// What is as near to zero as rounding leaves it is not cleared.
func TestWhatIsNearEnoughIsNotCleared(t *testing.T) {
	t.Parallel()
	for x, row := range map[float64]int{nearEnough: -1, -nearEnough: -1, 2 * nearEnough: 0, -2 * nearEnough: 0} {
		l := New([]float64{10}, []float64{1})
		l.Rule(0, true)
		l.x[0], l.edges[0] = x, 1
		require.Equal(t, row, l.worst(), x)
	}
}

// A row met by its own unit again leaves the core.
func TestTheCoreIsLeftAgain(t *testing.T) {
	t.Parallel()
	l := New([]float64{10, 10}, []float64{3, 4})
	c := l.Add(2, []Entry{{0, 1}})
	l.Solve(10)
	require.Equal(t, []int{0}, l.core.rows)
	l.Reprice(50, c)
	l.Solve(10)
	require.Empty(t, l.core.rows)
	require.InDelta(t, 70, l.Cost(), 1e-12)
}

// A solution that is right to the last digit is not worked out anew, nor is one where
// no more than what is allowed is missing.
func TestRenewLeavesWhatIsAllowed(t *testing.T) {
	t.Parallel()
	l := New([]float64{10, 10, 10}, []float64{2, 1000, 4})
	l.Add(2, []Entry{{1, 1}})
	l.Add(2, []Entry{{2, 1}})
	l.Solve(10)
	before := l.Touched()
	l.Renew(0)
	require.Equal(t, before, l.Touched())
	l.x[0] += 0.5
	l.Renew(1e-3)
	require.InDelta(t, 2.5, l.x[0], 1e-12)
	l.x[0]++
	l.Renew(1e-3)
	require.InDelta(t, 2, l.x[0], 1e-12)
	require.Greater(t, l.Touched(), before)
}

// An inverse that does not say what a column is worth is worked out anew, and
// clearing ends there.
func TestClearingEndsWhereTheInverseIsOff(t *testing.T) {
	t.Parallel()
	l := New([]float64{10, 10}, []float64{3, 4})
	c := l.Add(2, []Entry{{0, 1}, {1, 1}})
	l.Rule(0, true)
	l.columns[c].entries = nil
	pivots, out := l.Restore(10, math.Inf(1))
	require.Zero(t, pivots)
	require.False(t, out)
	require.InDelta(t, 70, l.Cost(), 1e-12)
}
