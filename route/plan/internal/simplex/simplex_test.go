package simplex_test

import (
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/optimize/convex/lp"

	"hardtack/route/plan/internal/simplex"
)

// By hand: x + 2y >= 4 and 3x + y >= 6 at costs 2 and 3 meet in (8/5, 6/5).
func TestSolveByHand(t *testing.T) {
	t.Parallel()
	l := simplex.New([]float64{100, 100}, []float64{4, 6})
	x := l.Add(2, []simplex.Entry{{Row: 0, Value: 1}, {Row: 1, Value: 3}})
	y := l.Add(3, []simplex.Entry{{Row: 0, Value: 2}, {Row: 1, Value: 1}})
	l.Add(0, []simplex.Entry{{Row: 0, Value: -1}})
	l.Add(0, []simplex.Entry{{Row: 1, Value: -1}})
	l.Solve(100)
	require.InDelta(t, 1.6, l.Value(x), 1e-9)
	require.InDelta(t, 1.2, l.Value(y), 1e-9)
	require.InDelta(t, 6.8, l.Cost(), 1e-9)
	require.InDelta(t, 7.0/5, l.Dual(0), 1e-9)
	require.InDelta(t, 1.0/5, l.Dual(1), 1e-9)

	l.Reprice(50, x) // y alone is now cheaper
	l.Solve(100)
	require.InDelta(t, 18, l.Cost(), 1e-9)
}

// gonum's simplex method solves the same problems.
func TestSolveAgainstGonum(t *testing.T) {
	t.Parallel()
	for seed := range uint64(60) {
		r := rand.New(rand.NewPCG(seed, 3))
		rows, columns := 2+r.IntN(12), 3+r.IntN(25)
		costs, rhs := make([]float64, rows), make([]float64, rows)
		a := mat.NewDense(rows, rows+columns, nil)
		all := make([]float64, rows+columns)
		for i := range rows {
			costs[i], rhs[i] = 50+r.Float64(), r.Float64()*10
			all[i] = costs[i]
			a.Set(i, i, 1)
		}
		l := simplex.New(costs, rhs)
		for c := range columns {
			var entries []simplex.Entry
			for i := range rows {
				if r.IntN(3) == 0 || i == c%rows {
					entries = append(entries, simplex.Entry{Row: i, Value: r.Float64()*4 - 0.5})
					a.Set(i, rows+c, entries[len(entries)-1].Value)
				}
			}
			all[rows+c] = 1 + r.Float64()*20
			l.Add(all[rows+c], entries)
		}
		l.Solve(10_000)
		want, _, err := lp.Simplex(all, a, rhs, 1e-10, nil)
		require.NoError(t, err, "seed %d", seed)
		require.InDelta(t, want, l.Cost(), 1e-6*(1+want), "seed %d", seed)
		requireOptimal(t, l, rhs, rows+columns)
	}
}

// requireOptimal: no column gains, and the duals are worth what the columns
// cost.
func requireOptimal(t *testing.T, l *simplex.LP, rhs []float64, columns int) {
	t.Helper()
	worth := 0.0
	for i, b := range rhs {
		worth += l.Dual(i) * b
	}
	require.InDelta(t, l.Cost(), worth, 1e-6*(1+worth))
	for c := range columns {
		require.GreaterOrEqual(t, l.Reduced(c), -1e-6)
	}
}

// A thousand pivots and more pass through the renewal of the inverse.
func TestSolveStaysExact(t *testing.T) {
	t.Parallel()
	r := rand.New(rand.NewPCG(1, 1))
	const rows = 60
	costs, rhs := make([]float64, rows), make([]float64, rows)
	for i := range rows {
		costs[i], rhs[i] = 1000, 1+r.Float64()
	}
	l := simplex.New(costs, rhs)
	pivots := 0
	for range 60 {
		for range 30 {
			var entries []simplex.Entry
			for i := range rows {
				if r.IntN(4) == 0 {
					entries = append(entries, simplex.Entry{Row: i, Value: r.Float64()})
				}
			}
			l.Add(1+r.Float64(), entries)
		}
		pivots += l.Solve(10_000)
	}
	require.Greater(t, pivots, 400)
	requireOptimal(t, l, rhs, rows)
}
