package simplex_test

import (
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"hardtack/route/plan/internal/simplex"
)

// What is done in a copy comes to what it would in the LP, which does not move:
// not with columns ruled out, others added and all solved anew.
func TestACopyIsOnItsOwn(t *testing.T) {
	t.Parallel()
	for seed := range uint64(50) {
		r := rand.New(rand.NewPCG(seed, 43))
		rows := 3 + r.IntN(10)
		costs, rhs := make([]float64, rows), make([]float64, rows)
		for i := range rows {
			costs[i], rhs[i] = 50+50*r.Float64(), 1+r.Float64()
		}
		draw := func() []simplex.Entry {
			var entries []simplex.Entry
			for i := range rows {
				if r.IntN(3) == 0 {
					entries = append(entries, simplex.Entry{Row: i, Value: 0.2 + r.Float64()})
				}
			}
			return append(entries, simplex.Entry{Row: r.IntN(rows), Value: 0.1})
		}
		l := simplex.New(costs, rhs)
		for range 4 * rows {
			l.Add(20*r.Float64(), draw())
		}
		l.Solve(1000)
		before, copied := l.Cost(), l.Copy()
		ruled := r.Perm(l.Columns() - rows)[:rows]
		change := func(l *simplex.LP, cost float64, entries []simplex.Entry) {
			for _, c := range ruled {
				l.Rule(rows+c, true)
			}
			_, out := l.Restore(1000, 1e18)
			require.True(t, out)
			l.Add(cost, entries)
			l.Solve(1000)
		}
		cost, entries := 20*r.Float64(), draw()
		change(copied, cost, entries)
		require.InDelta(t, before, l.Cost(), 1e-12)
		for _, c := range ruled {
			require.False(t, l.RuledOut(rows+c))
		}
		change(l, cost, entries)
		require.InDelta(t, l.Cost(), copied.Cost(), 1e-9*(1+l.Cost()), "seed %d", seed)
	}
}
