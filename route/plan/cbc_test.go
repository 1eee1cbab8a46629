package plan_test

import (
	"bytes"
	"context"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"hardtack/route/plan"
)

type export struct {
	name  string // of the file
	write func(*bytes.Buffer, plan.Brief) error
}

var (
	asLP  = export{"brief.lp", func(w *bytes.Buffer, b plan.Brief) error { return plan.WriteLP(w, b) }}
	asMPS = export{"brief.mps", func(w *bytes.Buffer, b plan.Brief) error { return plan.WriteMPS(w, b) }}
)

// writeModel writes the exported model to a file of the test's own.
func writeModel(t testing.TB, b plan.Brief, as export) string {
	t.Helper()
	var text bytes.Buffer
	require.NoError(t, as.write(&text, b))
	file := filepath.Join(t.TempDir(), as.name)
	require.NoError(t, os.WriteFile(file, text.Bytes(), 0o600))
	return file
}

// run returns what a solver prints. A solver that is not installed fails the
// test: unchecked must not look green.
func run(t testing.TB, solver string, args ...string) string {
	t.Helper()
	ctx, stop := context.WithTimeout(t.Context(), 5*time.Minute)
	defer stop()
	out, err := exec.CommandContext(ctx, solver, args...).CombinedOutput()
	require.NoError(t, err, "%s (Debian packages coinor-cbc, glpk-utils): %s", solver, out)
	return string(out)
}

// cbcOptimum is the proven optimum of the exported model by CBC. Options, as
// of its command line, may only help it along.
func cbcOptimum(t testing.TB, b plan.Brief, as export, options ...string) float64 {
	t.Helper()
	args := append([]string{writeModel(t, b, as), "ratio", "0", "allow", "1e-9"}, options...)
	out := run(t, "cbc", append(args, "solve")...)
	require.Contains(t, out, "Result - Optimal solution found", "%s", out)
	return numberAfter(t, out, "Objective value:")
}

// glpsolOptimum is the same by GLPK.
func glpsolOptimum(t testing.TB, b plan.Brief) float64 {
	t.Helper()
	file := writeModel(t, b, asLP)
	solution := file + ".sol"
	run(t, "glpsol", "--lp", file, "--cuts", "--output", solution)
	text, err := os.ReadFile(solution)
	require.NoError(t, err)
	require.Contains(t, string(text), "INTEGER OPTIMAL")
	return numberAfter(t, string(text), "Objective:  total =")
}

func numberAfter(t testing.TB, text, label string) float64 {
	t.Helper()
	_, rest, ok := strings.Cut(text, label)
	require.True(t, ok, "no %q in %s", label, text)
	x, err := strconv.ParseFloat(strings.Fields(rest)[0], 64)
	require.NoError(t, err)
	return x
}
