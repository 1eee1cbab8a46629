package main

import (
	"encoding/json"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"

	"hardtack/api"
)

func TestRiskAndReplanByCommand(t *testing.T) {
	t.Parallel()
	u := user(t)
	u.boat()
	require.Equal(t, exitNotFound, u.run("risk").code, "no plan yet")
	require.Equal(t, exitNotFound, u.run("replan").code)
	u.ok("plan", "--work", "2000", "--careful")

	out := u.ok("risk", "--walks", "50", "--remedies", "1", "--chance", "0.9", "--wish", "0.9")
	require.Contains(t, out, "lasts through a stay or leg in 90.0 % of cases")
	require.Contains(t, out, "what no shop passed had")
	require.Equal(t, exitUsage, u.run("risk", "--wish", "1").code)
	require.Contains(t, out, "50 seasons walked")
	require.Contains(t, out, "Reserves for a chance of 90.0 %")
	require.Contains(t, out, "no matter of averages")
	var r api.Risky
	require.NoError(t, json.Unmarshal([]byte(u.ok("--json", "risk", "--walks", "50", "--remedies", "0")), &r))
	require.Equal(t, 50, r.Report.Walks)
	require.Equal(t, exitUsage, u.run("risk", "--walks", "-1").code)

	fed := u.ok("fed")
	require.Contains(t, fed, "not advice on health")
	require.Contains(t, fed, "Bo does not eat: pork")
	worth := u.ok("worth", "rice_white")
	require.Contains(t, worth, "at Funchal, expected at")
	require.Contains(t, worth, "up to ")
	require.Equal(t, exitNotFound, u.run("worth", "unobtainium").code)
	require.Equal(t, exitNotFound, u.run("worth", "rice_white", "--stop", "9").code)

	out = u.ok("replan", "--as-planned", "--day", "2026-09-12", "--work", "1000")
	require.Contains(t, out, "The rest of the season from 2026-09-12")
	require.Contains(t, out, "Nothing was kept")
	require.Contains(t, u.ok("replan", "--as-planned", "--day", "2026-09-12", "--lost", "fridge", "--work", "1000", "--accept"), "the plan to go by now")
	require.Equal(t, exitUsage, u.run("replan", "--day", "2026-09-12", "--lost", "attic").code)
	require.Equal(t, exitUsage, u.run("replan", "--day", "2030-01-01").code)
}

func TestRiskOfFiles(t *testing.T) {
	t.Parallel()
	u := user(t)
	brief, out := u.file("brief.json", smallBrief), filepath.Join(u.home, "plan.json")
	u.ok("plan", "--brief", brief, "--out", out, "--careful")
	require.Contains(t, u.ok("risk", "--brief", brief, "--plan", out, "--walks", "20"), "20 seasons walked")
	require.Equal(t, exitUsage, u.run("risk", "--brief", brief).code)
	written, err := os.ReadFile(out)
	require.NoError(t, err)
	wrong := u.file("wrong.json", replaced(t, string(written), `"packs": `, `"packs": 9`))
	require.Equal(t, exitBroken, u.run("risk", "--brief", brief, "--plan", wrong).code)
}
