package plan_test

import (
	"fmt"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"

	"hardtack/route/plan"
)

const instances = "../../testdata/instances"

var solved = []string{"tiny-101", "tiny-102", "tiny-103", "small-101", "small-102", "small-103", "small-104"}

func readBrief(t testing.TB, name string) plan.Brief {
	t.Helper()
	f, err := os.Open(filepath.Join(instances, name+".json"))
	require.NoError(t, err)
	defer f.Close()
	b, err := plan.ParseBrief(f)
	require.NoError(t, err)
	return b
}

func readPlan(t testing.TB, name string) plan.Plan {
	t.Helper()
	f, err := os.Open(filepath.Join(instances, name+".plan.json"))
	require.NoError(t, err)
	defer f.Close()
	p, err := plan.ParsePlan(f)
	require.NoError(t, err)
	return p
}

// The plans come from a general MILP solver and were accepted by a checker
// that is not ours, see testdata/instances/README.md.
func TestVerifyAcceptsPlansOfAnotherSolver(t *testing.T) {
	t.Parallel()
	for _, name := range solved {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			require.NoError(t, plan.Verify(readBrief(t, name), readPlan(t, name)))
		})
	}
}

func TestSeasonBriefsAreWellFormed(t *testing.T) {
	t.Parallel()
	for _, name := range []string{"season-101", "season-102"} {
		b := readBrief(t, name)
		require.Len(t, b.Needs, 60, name)
		require.Len(t, b.Stops, 14, name)
	}
}

// brokenRules lists the distinct rules of an error of Verify.
func brokenRules(t testing.TB, err error) []plan.Rule {
	t.Helper()
	var vs plan.Violations
	require.ErrorAs(t, err, &vs, "got %v", err)
	var rules []plan.Rule
	seen := map[plan.Rule]bool{}
	for _, v := range vs {
		require.NotEmpty(t, v.Where, "%v", v)
		require.NotEmpty(t, v.Detail, "%v", v)
		if !seen[v.Rule] {
			seen[v.Rule] = true
			rules = append(rules, v.Rule)
		}
	}
	require.NotEmpty(t, fmt.Sprint(vs.Error()))
	return rules
}
