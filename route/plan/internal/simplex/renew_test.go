package simplex

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
)

// drawn is a random program, solved, with unit columns so dear that most rows are
// met by others, and some cheap.
func drawn(r *rand.Rand, rows, columns int, out func(column int) bool) *LP {
	rhs, dear := make([]float64, rows), make([]float64, rows)
	for i := range rhs {
		if rhs[i], dear[i] = 10+40*r.Float64(), 100; i%3 == 0 {
			dear[i] = 1
		}
	}
	l := New(rhs, dear)
	for range columns {
		var entries []Entry
		for row := range rows {
			if r.IntN(2) == 0 {
				entries = append(entries, Entry{Row: row, Value: 0.5 + r.Float64()})
			}
		}
		c := l.Add(5+9*r.Float64(), entries)
		l.Rule(c, out(c))
	}
	l.Solve(10_000)
	return l
}

func none(int) bool { return false }

// What rounding has done to a solution and its inverse is undone.
func TestRenewRidsOfRounding(t *testing.T) {
	t.Parallel()
	for seed := range uint64(20) {
		l := drawn(rand.New(rand.NewPCG(seed, 3)), 8, 30, none)
		require.Greater(t, len(l.core.rows), 2)
		x, dual, inverse := slices.Clone(l.x), slices.Clone(l.dual), slices.Clone(l.core.inverse[0])
		for i := range l.x {
			l.x[i] += 0.01 * float64(i+1)
		}
		for _, row := range l.core.inverse {
			for k := range row {
				row[k] *= 1.001
			}
		}
		l.Renew(1e-9)
		require.InDeltaSlice(t, x, l.x, 1e-9)
		require.InDeltaSlice(t, dual, l.dual, 1e-9)
		require.InDeltaSlice(t, inverse, l.core.inverse[0], 1e-9)
	}
}

// Columns that are no basis leave all as it was.
func TestRenewLeavesASingularBasisAlone(t *testing.T) {
	t.Parallel()
	l := drawn(rand.New(rand.NewPCG(1, 3)), 8, 30, none)
	core := l.core.rows
	require.Greater(t, len(core), 2)
	l.columns[l.basis[core[0]]].entries = l.columns[l.basis[core[1]]].entries
	x, inverse := slices.Clone(l.x), slices.Clone(l.core.inverse[0])
	l.Renew(1e-9)
	require.Equal(t, x, l.x)
	require.Equal(t, inverse, l.core.inverse[0])
}

// A column that is ruled out costs as if it were not there.
func TestWhatIsRuledOutStaysOut(t *testing.T) {
	t.Parallel()
	for seed := range uint64(20) {
		draw := func() *rand.Rand { return rand.New(rand.NewPCG(seed, 4)) }
		odd := func(c int) bool { return c%2 == 1 }
		l := drawn(draw(), 8, 400, odd)
		for c := range l.columns {
			if l.RuledOut(c) {
				require.Zero(t, l.Value(c))
			}
		}
		free := drawn(draw(), 8, 400, none)
		require.Less(t, free.Cost(), l.Cost())
		for c := range free.columns {
			free.Rule(c, l.RuledOut(c))
		}
		_, out := free.Restore(10_000, math.Inf(1))
		require.True(t, out)
		free.Solve(10_000)
		require.InDelta(t, l.Cost(), free.Cost(), 1e-6*l.Cost())
	}
}
