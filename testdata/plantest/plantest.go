// Package plantest gives tests the stored briefs and plans for them.
package plantest

import (
	"context"
	"os"
	"path/filepath"
	"runtime"
	"testing"

	"github.com/stretchr/testify/require"

	"hardtack/route/plan"
)

// Instance reads a brief of testdata/instances.
func Instance(t testing.TB, name string) plan.Brief {
	t.Helper()
	_, here, _, ok := runtime.Caller(0)
	require.True(t, ok)
	f, err := os.Open(filepath.Join(filepath.Dir(here), "..", "instances", name+".json"))
	require.NoError(t, err)
	defer f.Close()
	b, err := plan.ParseBrief(f)
	require.NoError(t, err)
	return b
}

// Solved plans a brief with so much work, and holds the plan to its rules.
func Solved(t testing.TB, b plan.Brief, work int) plan.Plan {
	t.Helper()
	p, err := plan.Solve(context.Background(), b, plan.Budget{Work: work}, nil)
	require.NoError(t, err)
	require.NoError(t, plan.Verify(b, p))
	return p
}
