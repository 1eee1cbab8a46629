package estimate

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"hardtack/pricing/world"
)

// Of liars who always tell the same factor most are named, by about what they
// add, and of honest reporters next to none: five in a hundred worlds would do.
func TestLiarsStandOut(t *testing.T) {
	t.Parallel()
	s := spec(31, 80, 24, 6, 4000)
	s.Liars = 0.15
	w := invent(s)
	lies, all := map[string]int{}, map[string]int{}
	for _, r := range w.Reports {
		all[r.Reporter]++
		if w.world.Lied[r.ID] {
			lies[r.Reporter]++
		}
	}
	require.NotEmpty(t, lies)
	named := Fit(w.Input).Standouts()
	right := 0
	for k, x := range named {
		if lies[x.Reporter] > 0 {
			right++
			require.Greater(t, x.Times, 1.2)
		}
		require.Greater(t, x.Reports, newcomer)
		require.LessOrEqual(t, x.Reports, all[x.Reporter])
		require.True(t, k == 0 || strings.Compare(named[k-1].Reporter, x.Reporter) != 0)
	}
	require.GreaterOrEqual(t, right, len(lies)*3/4)
	require.LessOrEqual(t, len(named)-right, 1)

	honest := spec(32, 80, 24, 6, 4000)
	honest.Faults = world.Faults{}
	require.LessOrEqual(t, len(Fit(invent(honest).Input).Standouts()), 1)
	require.Empty(t, Fit(Input{Day: 5}).Standouts())
}
