package plan_test

import (
	"testing"

	"github.com/stretchr/testify/require"
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
