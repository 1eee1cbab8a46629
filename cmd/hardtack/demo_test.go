package main

import (
	"bytes"
	"encoding/json"
	"errors"
	"io"
	"net/http"
	"os"
	"path/filepath"
	"regexp"
	"testing"
	"time"

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

// Served, the demo shows a first good plan while it looks for a better one, and
// prints the best until then when it is stopped.
func TestDemoServesAFirstPlan(t *testing.T) {
	t.Parallel()
	u := user(t)
	cmd := u.process(nil, "demo", "--listen", "127.0.0.1:0", "--work", "2000000000")
	var out bytes.Buffer
	said := &noise{}
	cmd.Stdout, cmd.Stderr = &out, said
	require.NoError(t, cmd.Start())
	t.Cleanup(func() { _ = cmd.Process.Kill() }) // if it has not ended yet
	address := regexp.MustCompile(`Serving (http://\S+)`)
	require.Eventually(t, func() bool { return address.MatchString(said.String()) }, time.Minute, 20*time.Millisecond, said)
	require.Contains(t, said.String(), "Still looking for a better one")
	resp, err := http.Get(address.FindStringSubmatch(said.String())[1])
	require.NoError(t, err)
	page, err := io.ReadAll(resp.Body)
	require.NoError(t, errors.Join(err, resp.Body.Close()))
	require.Contains(t, string(page), "still being looked for")
	require.NoError(t, cmd.Process.Signal(os.Interrupt))
	require.NoError(t, cmd.Wait(), said)
	require.Contains(t, out.String(), "CONCARNEAU   2026-09-05")
}
