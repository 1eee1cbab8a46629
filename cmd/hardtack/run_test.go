package main

import (
	"bytes"
	"context"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// result is what a user sees of one command.
type result struct {
	code     int
	out, err string
}

// as runs commands with a home of their own.
type as struct {
	t    *testing.T
	home string
}

func user(t *testing.T) as { return as{t, t.TempDir()} }

func (u as) run(args ...string) result { return u.runWith("", args...) }

func (u as) runWith(stdin string, args ...string) result {
	u.t.Helper()
	var out, err bytes.Buffer
	code := run(context.Background(), args, u.getenv, strings.NewReader(stdin), &out, &err)
	return result{code, out.String(), err.String()}
}

func (u as) getenv(name string) string {
	return map[string]string{
		"HOME": u.home, "XDG_DATA_HOME": filepath.Join(u.home, "data"), "HARDTACK_TODAY": "2026-09-05",
	}[name]
}

// ok runs a command that must succeed and gives what it printed.
func (u as) ok(args ...string) string {
	u.t.Helper()
	r := u.run(args...)
	require.Equal(u.t, exitOK, r.code, "%v: %s", args, r.err)
	return r.out
}

// file writes a file into the user's home.
func (u as) file(name, content string) string {
	u.t.Helper()
	p := filepath.Join(u.home, name)
	require.NoError(u.t, os.WriteFile(p, []byte(content), 0o600))
	return p
}

func TestUsage(t *testing.T) {
	t.Parallel()
	for _, tt := range []struct {
		name string
		args []string
		code int
		says string
	}{
		{"help", []string{"--help"}, exitOK, ""},
		{"unknown command", []string{"sail"}, exitUsage, "unexpected argument sail"},
		{"unknown flag", []string{"verify", "--fast"}, exitUsage, "unknown flag --fast"},
		{"missing argument", []string{"verify"}, exitUsage, "expected"},
		{"missing file", []string{"verify", "nowhere.json", "no.json"}, exitUsage, "nowhere.json"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			t.Parallel()
			r := user(t).run(tt.args...)
			require.Equal(t, tt.code, r.code, r.err)
			require.Contains(t, r.err, tt.says)
		})
	}
}

// README lists the exit codes that the program has, word for word.
func TestReadmeListsTheExitCodes(t *testing.T) {
	t.Parallel()
	b, err := os.ReadFile(filepath.Join(root, "README.md"))
	require.NoError(t, err)
	readme := strings.ReplaceAll(string(b), "`", "")
	for _, e := range exits {
		require.Contains(t, readme, "| "+itoa(e.code)+" | "+e.what+" |")
	}
	require.Contains(t, user(t).ok("--help"), exits[4].what[:20])
}

// replaced is s with from turned into to, which must occur.
func replaced(t *testing.T, s, from, to string) string {
	t.Helper()
	require.Contains(t, s, from)
	return strings.Replace(s, from, to, 1)
}
