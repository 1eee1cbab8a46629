package main

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"

	"hardtack/route/plan"
)

func TestPlanOfABriefFile(t *testing.T) {
	t.Parallel()
	u := user(t)
	brief, out := u.file("brief.json", smallBrief), filepath.Join(u.home, "plan.json")
	require.Contains(t, u.ok("plan", "--brief", brief, "--out", out), "Total 19.00 EUR") // by hand, see smallBrief
	require.Contains(t, u.ok("verify", brief, out), "keeps every rule")

	written, err := os.ReadFile(out)
	require.NoError(t, err)
	p, err := plan.ParsePlan(bytes.NewReader(written))
	require.NoError(t, err)
	r := u.runWith(smallBrief, "--json", "plan", "--brief", "-")
	require.Equal(t, exitOK, r.code, r.err)
	var again plan.Plan
	require.NoError(t, json.Unmarshal([]byte(r.out), &again))
	require.Equal(t, p, again, "the same brief gives the same plan")
}

func TestPlanRefusesAMalformedBrief(t *testing.T) {
	t.Parallel()
	u := user(t)
	r := u.run("plan", "--brief", u.file("brief.json", replaced(t, smallBrief, `"yield":1`, `"yield":0`)))
	require.Equal(t, exitRefused, r.code)
	require.Contains(t, r.err, "needs[0].items[0].yield")
	require.Contains(t, r.err, "nothing was done")
	require.Empty(t, r.out)
}

func TestExport(t *testing.T) {
	t.Parallel()
	u := user(t)
	brief := u.file("brief.json", smallBrief)
	require.Contains(t, u.ok("export", "--format", "lp", brief), "Minimize")
	require.Contains(t, u.ok("export", "--format", "mps", brief), "ROWS")
	require.Equal(t, exitUsage, u.run("export", "--format", "xls", brief).code)

	out := filepath.Join(u.home, "model.lp")
	require.Empty(t, u.ok("export", "--format", "lp", "-o", out, brief))
	require.FileExists(t, out)
	r := u.run("export", "--format", "lp", "-o", filepath.Join(u.home, "no", "such", "folder.lp"), brief)
	require.NotEqual(t, exitOK, r.code)
}
