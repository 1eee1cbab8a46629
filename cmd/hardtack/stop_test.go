package main

import (
	"bytes"
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// Ctrl-C in the middle of planning: the best plan until then is shown, kept and
// sound, and the exit code says that it was stopped.
func TestStoppedFromTheKeyboard(t *testing.T) {
	t.Parallel()
	u := user(t)
	u.demoFiles()
	u.file("voyage.json", firstStops(t, 5))
	for _, kind := range []string{"vessel", "crew", "voyage"} {
		u.ok(kind, "set", filepath.Join(u.home, kind+".json"))
	}
	plan := filepath.Join(u.home, "stopped.json")
	cmd := u.process(nil, "plan", "--work", "2000000000", "-o", plan)
	var out, said bytes.Buffer
	cmd.Stdout, cmd.Stderr = &out, &said
	require.NoError(t, cmd.Start())
	time.Sleep(3 * time.Second) // whatever it is doing by then
	require.NoError(t, cmd.Process.Signal(os.Interrupt))
	_ = cmd.Wait() // judged by its exit code
	require.Equal(t, exitStopped, cmd.ProcessState.ExitCode(), "%s", said.String())
	if _, err := os.Stat(plan); err != nil { // stopped before there was a boat to plan for
		require.Contains(t, said.String(), "canceled")
		return
	}
	require.Contains(t, said.String(), "best plan found until then")
	require.Contains(t, out.String(), "no plan can count less than")
	brief := filepath.Join(u.home, "stopped-brief.json")
	u.ok("brief", "-o", brief)
	u.ok("verify", brief, plan)
	u.ok("list", "--stop", "0")
}
