package simplex

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"
)

// Where nothing limits a column that gains, and where nothing can take a row's
// place, the program says so and stays as it was.
func TestWhatCannotBeSolvedIsSaid(t *testing.T) {
	t.Parallel()
	l := New([]float64{10, 10}, []float64{3, 4})
	l.Add(-20, []Entry{{0, -1}})
	require.Zero(t, l.Solve(100))
	require.InDelta(t, 70, l.Cost(), 1e-12)

	l = New([]float64{10, 10}, []float64{3, 4})
	l.Rule(0, true)
	pivots, out := l.Restore(100, math.Inf(1))
	require.Zero(t, pivots)
	require.False(t, out)
	require.InDelta(t, 70, l.Cost(), 1e-12)
}

// A price that is no number, or a row that is not met, is not sound.
func TestSoundSeesWhatIsNoNumber(t *testing.T) {
	t.Parallel()
	for _, price := range []float64{math.NaN(), math.Inf(1), math.Inf(-1)} {
		l := drawn(rand.New(rand.NewPCG(1, 3)), 8, 30, none)
		require.True(t, l.Sound())
		l.dual[1] = price
		require.False(t, l.Sound())
	}
	for _, off := range []float64{math.NaN(), 1e-3, -1e-3} {
		l := drawn(rand.New(rand.NewPCG(1, 3)), 8, 30, none)
		l.x[7] += off
		require.False(t, l.Sound())
	}
}

// Most pivots asked for are made, and no more: three at once are as three times one.
func TestNoMorePivotsThanAsked(t *testing.T) {
	t.Parallel()
	for seed := range uint64(20) {
		at, by := unsolved(seed), unsolved(seed)
		require.Equal(t, 3, at.Solve(3))
		for range 3 {
			require.Equal(t, 1, by.Solve(1))
		}
		require.Equal(t, by.basis, at.basis)
		require.Equal(t, 3, at.pivots)

		at.Solve(10_000)
		for _, c := range at.basis {
			at.Rule(c, c >= len(at.rhs))
		}
		before := at.pivots
		pivots, out := at.Restore(1, math.Inf(1))
		require.Equal(t, 1, pivots)
		require.False(t, out)
		require.Equal(t, before+1, at.pivots)
	}
}

// Up to what it costs already nothing is done.
func TestRestoreEndsAtItsLimit(t *testing.T) {
	t.Parallel()
	l := New([]float64{10, 10}, []float64{3, 4})
	c := l.Add(2, []Entry{{0, 1}, {1, 1}})
	l.Solve(100)
	l.Rule(c, true)
	pivots, out := l.Restore(100, l.Cost())
	require.Zero(t, pivots)
	require.False(t, out)
	pivots, out = l.Restore(100, l.Cost()+1e-9)
	require.Equal(t, 1, pivots)
	require.True(t, out)
	require.InDelta(t, 70, l.Cost(), 1e-12)
}

// A copy made when little was basic can go to where more was.
func TestACopyGoesToALargerState(t *testing.T) {
	t.Parallel()
	l := unsolved(1)
	small := l.Copy()
	l.Solve(10_000)
	require.Greater(t, len(l.core.rows), 2)
	var s State
	l.Save(&s)
	small.Load(&s)
	require.InDelta(t, l.Cost(), small.Cost(), 1e-9)
	require.True(t, small.Sound())
	require.Zero(t, small.Solve(10_000))
}

// unsolved is a random program that takes more than three pivots.
func unsolved(seed uint64) *LP {
	r := rand.New(rand.NewPCG(seed, 8))
	costs, rhs := make([]float64, 8), make([]float64, 8)
	for i := range rhs {
		costs[i], rhs[i] = 100, 1+9*r.Float64()
	}
	l := New(costs, rhs)
	for range 40 {
		l.Add(5+9*r.Float64(), []Entry{{r.IntN(4), 0.5 + r.Float64()}, {4 + r.IntN(4), 0.5 + r.Float64()}})
	}
	return l
}
