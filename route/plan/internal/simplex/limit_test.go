package simplex_test

import (
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"hardtack/route/plan/internal/simplex"
)

// Right-hand sides changed one after another, and some changed back, cost what an LP
// costs that was made with them; a copy does not change with it.
func TestLimitsAreAsIfMadeSo(t *testing.T) {
	t.Parallel()
	for seed := range uint64(60) {
		r := rand.New(rand.NewPCG(seed, 47))
		rows := 3 + r.IntN(12)
		costs, rhs := make([]float64, rows), make([]float64, rows)
		for i := range rows {
			costs[i], rhs[i] = 50*r.Float64(), 3*r.Float64()
		}
		l := simplex.New(costs, rhs)
		var columns [][]simplex.Entry
		var prices []float64
		for range 4 * rows {
			var entries []simplex.Entry
			for i := range rows {
				if r.IntN(3) == 0 {
					entries = append(entries, simplex.Entry{Row: i, Value: 0.2 + r.Float64()})
				}
			}
			entries = append(entries, simplex.Entry{Row: r.IntN(rows), Value: 0.1})
			columns, prices = append(columns, entries), append(prices, 20*r.Float64())
			l.Add(prices[len(prices)-1], entries)
		}
		l.Solve(1000)
		copied, before := l.Copy(), l.Cost()
		var state simplex.State
		l.Save(&state)
		for round := range 6 {
			row := r.IntN(rows)
			was := rhs[row]
			rhs[row] = 4 * r.Float64()
			l.Limit(row, rhs[row])
			_, out := l.Restore(1000, 1e18)
			require.True(t, out)
			l.Solve(1000)
			fresh := simplex.New(costs, rhs)
			for c, entries := range columns {
				fresh.Add(prices[c], entries)
			}
			fresh.Solve(1000)
			require.InDelta(t, fresh.Cost(), l.Cost(), 1e-6*(1+fresh.Cost()), "seed %d round %d", seed, round)
			if round%2 == 0 { // taken back
				rhs[row] = was
				l.Limit(row, was)
				l.Load(&state)
				l.Restore(1000, 1e18)
			} else {
				l.Save(&state)
			}
		}
		copied.Restore(1000, 1e18)
		require.InDelta(t, before, copied.Cost(), 1e-9*(1+before))
	}
}
