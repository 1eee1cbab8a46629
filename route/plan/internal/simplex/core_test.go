package simplex_test

import (
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"hardtack/route/plan/internal/simplex"
)

// Whatever is added, ruled out, let in again, repriced and gone back to, what
// is solved last costs what an LP begun anew comes to.
func TestSolvedAgainIsSolvedAnew(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		r := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 5))
		rows := 2 + r.IntN(10)
		costs, rhs := make([]float64, rows), make([]float64, rows)
		for i := range rows {
			costs[i], rhs[i] = float64(r.IntN(30)), float64(r.IntN(10))
		}
		l := simplex.New(costs, rhs)
		out := make([]bool, rows)
		entries := make([][]simplex.Entry, rows)
		var stood *simplex.State
		for range 20 {
			switch r.IntN(5) {
			case 0, 1:
				var e []simplex.Entry
				for i := range rows {
					if r.IntN(3) == 0 {
						e = append(e, simplex.Entry{Row: i, Value: float64(r.IntN(7) - 1)})
					}
				}
				costs, out, entries = append(costs, float64(r.IntN(20))), append(out, false), append(entries, e)
				l.Add(costs[len(costs)-1], e)
			case 2:
				c := r.IntN(len(costs))
				costs[c] = float64(r.IntN(30))
				l.Reprice(costs[c], c)
			case 3:
				c := r.IntN(len(costs))
				if c >= rows { // the units stay, so that there is a solution
					out[c] = !out[c]
					l.Rule(c, out[c])
				}
			case 4:
				if stood != nil && r.IntN(2) == 0 {
					l.Load(stood)
					l.Price()
				} else {
					stood = &simplex.State{}
					l.Save(stood)
				}
			}
			if r.IntN(2) == 0 {
				l.Solve(1000)
				l.Restore(1000, 1e18)
				l.Solve(1000)
			}
		}
		l.Solve(1000)
		l.Restore(1000, 1e18)
		l.Solve(1000)
		anew := simplex.New(costs[:rows], rhs)
		for c := rows; c < len(costs); c++ {
			if !out[c] {
				anew.Add(costs[c], entries[c])
			}
		}
		anew.Solve(1000)
		require.InDelta(t, anew.Cost(), l.Cost(), 1e-6*(1+anew.Cost()))
	})
}
