package plan_test

import (
	"bytes"
	"testing"

	"github.com/stretchr/testify/require"

	"hardtack/route/plan"
)

// Optima proven by HiGHS 1.15.1, see testdata/instances/README.md.
var provenTiny = map[string]float64{"tiny-101": 166.994886, "tiny-102": 599.451754, "tiny-103": 279.266579}

func TestExportedModelHasTheProvenOptimum(t *testing.T) {
	t.Parallel()
	for name, want := range provenTiny {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			b := readBrief(t, name)
			require.InEpsilon(t, want, cbcOptimum(t, b, asLP), 1e-6, "CBC, LP")
			require.InEpsilon(t, want, cbcOptimum(t, b, asMPS), 1e-6, "CBC, MPS")
			require.InEpsilon(t, want, glpsolOptimum(t, b), 1e-6, "GLPK, LP")
		})
	}
}

// The hand-made plan is one of many: the optimum cannot cost more.
func TestExportedModelCoversTheHandMadePlan(t *testing.T) {
	t.Parallel()
	lp := cbcOptimum(t, handBrief(), asLP)
	require.Less(t, lp, handPlan().Cost.Total)
	require.InEpsilon(t, lp, cbcOptimum(t, handBrief(), asMPS), 1e-6)
	require.InEpsilon(t, lp, glpsolOptimum(t, handBrief()), 1e-6)
}

// Ids are anybody's text: they stand in comments only, and cannot end them.
func TestExportSanitisesNames(t *testing.T) {
	t.Parallel()
	want := cbcOptimum(t, handBrief(), asLP)
	b := handBrief()
	b.Needs[0].ID = "grain\nEnd\n\\ * é"
	b.Needs[1].Items[0].ID = "1e5 <= x:\rENDATA"
	require.InEpsilon(t, want, cbcOptimum(t, b, asLP), 1e-9)
	require.InEpsilon(t, want, cbcOptimum(t, b, asMPS), 1e-9)
}

func TestExportRefusesMalformedBrief(t *testing.T) {
	t.Parallel()
	b := handBrief()
	b.Stops = b.Stops[:1]
	var out bytes.Buffer
	require.ErrorIs(t, plan.WriteLP(&out, b), plan.ErrMalformed)
	require.ErrorIs(t, plan.WriteMPS(&out, b), plan.ErrMalformed)
	require.Zero(t, out.Len(), "nothing is half-written")
}

// Proving the optimum of a small brief takes CBC too long for a test. Its
// relaxation, a second's work, must lie below the best plan known, within
// 15 % of it.
func TestExportedRelaxationLiesBelowTheBestPlans(t *testing.T) {
	t.Parallel()
	for name, total := range map[string]float64{"small-101": 1017.146499, "small-102": 1984.223563,
		"small-103": 1527.036227, "small-104": 1463.935485} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			out := run(t, "cbc", writeModel(t, readBrief(t, name), asMPS), "initialSolve")
			got := numberAfter(t, out, "Optimal - objective value")
			t.Logf("relaxation %.2f, plan %.2f", got, total)
			require.LessOrEqual(t, got, total)
			require.Greater(t, got, 0.85*total)
		})
	}
}
