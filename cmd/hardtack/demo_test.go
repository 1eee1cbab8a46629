package main

import (
	"encoding/json"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"

	"hardtack/route/shopping"
)

func TestDemo(t *testing.T) {
	t.Parallel()
	u := user(t)
	dir := filepath.Join(u.home, "out")
	out := u.ok("demo", "--no-serve", "--work", "2000", "--out", dir)
	require.Contains(t, out, "(invented)")
	require.Contains(t, out, "of the money rests on guessed prices")
	require.Contains(t, out, "kcal against a need of")
	require.Contains(t, out, "CONCARNEAU   2026-09-05")
	require.NotContains(t, out, "NOT SAFE", "water and gas last every leg")

	require.Contains(t, u.ok("verify", filepath.Join(dir, "brief.json"), filepath.Join(dir, "plan.json")), "keeps every rule")
	for _, name := range []string{"plan.txt", "lists.txt", "lists.html"} {
		require.FileExists(t, filepath.Join(dir, name))
	}
	b, err := os.ReadFile(filepath.Join(dir, "lists.json"))
	require.NoError(t, err)
	var lists shopping.Lists
	require.NoError(t, json.Unmarshal(b, &lists))
	require.Greater(t, len(lists.Lists), 10)

	require.Contains(t, u.ok("report", "list"), "No such reports", "invented reports stay out of the user's own database")
}

func TestDemoKeepsOffOtherDatabases(t *testing.T) {
	t.Parallel()
	u := user(t)
	mine := u.file("mine.db", "precious")
	require.Equal(t, exitUsage, u.run("--db", mine, "demo", "--no-serve").code)
	require.Equal(t, exitUsage, u.run("--db", "postgres://somewhere/x", "demo", "--no-serve").code)
	b, err := os.ReadFile(mine)
	require.NoError(t, err)
	require.Equal(t, "precious", string(b))
}
