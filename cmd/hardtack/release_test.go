package main

import (
	"bytes"
	"crypto/sha256"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// What .ci/holes says of the web framework's known holes: its middleware is not
// part of the program.
func TestTheFrameworksMiddlewareIsNotLinked(t *testing.T) {
	t.Parallel()
	cmd := exec.Command("go", "list", "-deps", "./cmd/hardtack")
	cmd.Dir = root
	out, err := cmd.Output()
	require.NoError(t, err)
	deps := strings.Fields(string(out))
	require.Contains(t, deps, "github.com/labstack/echo/v4")
	require.NotContains(t, deps, "github.com/labstack/echo/v4/middleware")
}

// The same source in two folders gives the same bytes: nothing of the machine,
// the folder or the hour is in the program. (.ci/release compares all of a
// release.)
func TestTwoBuildsGiveTheSameBytes(t *testing.T) {
	t.Parallel()
	built := func() [sha256.Size]byte {
		dir := t.TempDir()
		for _, name := range flow {
			require.NoError(t, os.CopyFS(filepath.Join(dir, name), os.DirFS(filepath.Join(root, name))))
		}
		for _, name := range []string{"go.mod", "go.sum"} {
			b, err := os.ReadFile(filepath.Join(root, name))
			require.NoError(t, err)
			require.NoError(t, os.WriteFile(filepath.Join(dir, name), b, 0o600))
		}
		program := filepath.Join(dir, "hardtack")
		build := exec.Command("go", "build", "-buildvcs=false", "-trimpath", "-ldflags=-s -w -buildid=", "-o", program, "./cmd/hardtack")
		build.Dir = dir
		build.Env = append(os.Environ(), "CGO_ENABLED=0")
		out, err := build.CombinedOutput()
		require.NoError(t, err, "%s", out)
		b, err := os.ReadFile(program)
		require.NoError(t, err)
		require.False(t, bytes.Contains(b, []byte(dir)), "a folder of the machine is in the program")
		return sha256.Sum256(b)
	}
	require.Equal(t, built(), built())
}

// Every command and flag is in the manual page and in each completion.
func TestManualAndCompletionKnowEveryCommand(t *testing.T) {
	t.Parallel()
	u := user(t)
	var c cli
	app, err := grammar(&c, &shell{})
	require.NoError(t, err)
	page := u.ok("manual")
	scripts := map[string]string{}
	for _, name := range []string{"bash", "zsh", "fish"} {
		scripts[name] = u.ok("completion", name)
	}
	all := commands(app.Model.Node, "")
	require.Greater(t, len(all), 20)
	for _, n := range all {
		require.Contains(t, page, ".SS hardtack "+roff(n.path))
		require.Contains(t, scripts["fish"], " -a "+n.Name+" ", n.path)
		require.Contains(t, scripts["bash"], `" `+n.path+`"`)
		for _, f := range n.Flags {
			if f.Hidden {
				continue
			}
			require.Contains(t, page, roff("--"+f.Name), n.path)
			require.Contains(t, scripts["bash"], "--"+f.Name, n.path)
			require.Contains(t, scripts["fish"], " -l "+f.Name+" ", n.path)
		}
	}
	for _, e := range exits {
		require.Contains(t, page, ".B "+itoa(e.code)+"\n"+roff(e.what))
	}
	require.Equal(t, exitUsage, u.run("completion", "tcsh").code)
}

// The shell itself completes.
func TestBashCompletes(t *testing.T) {
	t.Parallel()
	u := user(t)
	script := u.file("completion.bash", u.ok("completion", "bash"))
	for typed, want := range map[string]string{
		"hardtack ver":                        "verify version",
		"hardtack backup ":                    "save restore",
		"hardtack backup restore --o":         "--over",
		"hardtack --db x.db backup restore -": "--over --dry --help --db --config --json",
		"hardtack completion f":               "fish",
	} {
		words := strings.Split(typed, " ")
		ask := exec.Command("bash", "-c", `source "$1"; shift; COMP_WORDS=("$@"); COMP_CWORD=$(($#-1)); _hardtack; echo "${COMPREPLY[*]}"`, "bash", script)
		ask.Args = append(ask.Args, words...)
		out, err := ask.CombinedOutput()
		require.NoError(t, err, "%s", out)
		require.Equal(t, want, strings.TrimSpace(string(out)), typed)
	}
}

// The service may do no more than it needs: exposure of at most 2.0 of 10.
func TestTheServiceIsLockedIn(t *testing.T) {
	t.Parallel()
	unit := filepath.Join(root, ".ci", "package", "hardtack.service")
	out, err := exec.Command("systemd-analyze", "security", "--no-pager", "--offline=true", "--threshold=20", unit).CombinedOutput()
	require.NoError(t, err, "%s", out)
	require.Contains(t, string(out), "Overall exposure level for hardtack.service")
}
