package main

import (
	"bytes"
	"context"
	"errors"
	"io"
	"net/http"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"hardtack/db"
)

func TestBackupAndRestore(t *testing.T) {
	t.Parallel()
	u := user(t)
	u.boat()
	file := filepath.Join(u.home, "season.backup")
	u.ok("backup", file)
	require.FileExists(t, file)
	require.Equal(t, exitConflict, u.run("backup", "save", file).code, "a backup is never overwritten")

	other := filepath.Join(u.home, "other.db")
	u.ok("--db", other, "backup", "restore", file)
	require.Equal(t, u.ok("voyage"), u.ok("--db", other, "voyage"))

	b, err := os.ReadFile(file)
	require.NoError(t, err)
	damaged := u.file("damaged.backup", strings.Replace(string(b), "hop", "hup", 1))
	r := u.run("--db", filepath.Join(u.home, "third.db"), "backup", "restore", damaged)
	require.Equal(t, exitRefused, r.code, r.err)
	require.NoFileExists(t, filepath.Join(u.home, "third.db"))
	require.Equal(t, exitWrong, u.run("doctor", file, damaged).code)
	require.Contains(t, u.ok("doctor", file), "Nothing is wrong.")

	require.Equal(t, exitConflict, u.run("backup", "restore", file).code, "not empty")
	require.Contains(t, u.ok("backup", "restore", "--over", "--dry", file), "was not touched")
	u.ok("crew", "person", "Cy", "--age", "30")
	r = u.run("backup", "restore", "--over", file)
	require.Equal(t, exitConflict, r.code, "newer than the backup")
	require.Contains(t, r.err, "the database is newer")
}

func TestDoctorAndRecover(t *testing.T) {
	t.Parallel()
	u := user(t)
	require.Contains(t, u.ok("doctor"), "there is no database")
	u.boat()
	require.Contains(t, u.ok("doctor"), "boats, crews, voyages: each can be read")
	where := filepath.Join(u.home, "data", "hardtack", "hardtack.db")
	b, err := os.ReadFile(where)
	require.NoError(t, err)
	clear(b[len(b)/2 : len(b)/2+8192])
	damaged := u.file("damaged.db", string(b))
	r := u.run("--db", damaged, "--json", "doctor")
	require.Equal(t, exitWrong, r.code, r.err)
	require.Contains(t, r.out, `"grade": "wrong"`)
	saved := filepath.Join(u.home, "saved.db")
	r = u.run("recover", damaged, "--into", saved)
	require.Contains(t, []int{exitOK, exitRejected}, r.code, r.err)
	require.Contains(t, u.ok("--db", saved, "doctor"), "Nothing is wrong.")
	require.Equal(t, exitConflict, u.run("recover", damaged, "--into", saved).code)
	require.Equal(t, exitUsage, u.run("recover", "nowhere.db", "--into", saved+"2").code)
}

func TestVersion(t *testing.T) {
	t.Parallel()
	u := user(t)
	require.Regexp(t, `^\d+\.\d+\.\d+$`, version())
	require.Contains(t, u.ok("version"), "hardtack "+version()+", schema ")
	require.Contains(t, u.ok("version", "--changes"), "# Changes")
}

func TestMigrate(t *testing.T) {
	t.Parallel()
	u := user(t)
	require.Contains(t, u.ok("migrate"), "has schema 0")
	require.Contains(t, u.ok("migrate", "up"), "has schema "+itoa(int(db.Newest)))
	require.Equal(t, exitUsage, u.run("migrate", "down").code, "not without --yes")
	require.Contains(t, u.ok("migrate", "down", "--yes"), "has schema 0")
	require.Equal(t, exitUsage, u.run("migrate", "sideways").code)
}

// A shared server is never migrated by accident: it says what to do.
func TestForeignDatabaseIsLeftAlone(t *testing.T) {
	t.Parallel()
	u := user(t)
	junk := u.file("junk.db", "this is no database")
	r := u.run("--db", junk, "ports", "funchal")
	require.NotEqual(t, exitOK, r.code)
	b, err := os.ReadFile(junk)
	require.NoError(t, err)
	require.Equal(t, "this is no database", string(b))
}

// heard is a writer that many may write to.
type heard struct {
	sync.Mutex
	b bytes.Buffer
}

func (h *heard) Write(p []byte) (int, error) {
	h.Lock()
	defer h.Unlock()
	return h.b.Write(p)
}

func (h *heard) String() string {
	h.Lock()
	defer h.Unlock()
	return h.b.String()
}

func TestServe(t *testing.T) {
	t.Parallel()
	u := user(t)
	ctx, stop := context.WithCancel(context.Background())
	defer stop()
	var out heard
	done := make(chan int, 1)
	go func() {
		env := func(k string) string { return map[string]string{"HOME": u.home}[k] }
		done <- run(ctx, []string{"serve", "--listen", "127.0.0.1:0"}, env, strings.NewReader(""), &out, &out)
	}()
	address := regexp.MustCompile(`http://127\.0\.0\.1:\d+`)
	require.Eventually(t, func() bool { return address.MatchString(out.String()) }, time.Minute, 10*time.Millisecond)

	answer, err := http.Get(address.FindString(out.String()) + "/v1/ports?q=funchal")
	require.NoError(t, err)
	require.NoError(t, answer.Body.Close())
	require.Equal(t, http.StatusOK, answer.StatusCode)
	for path, title := range map[string]string{"/": "<h1>A first plan</h1>", "/demo/": "(invented)</h1>"} {
		page, err := http.Get(address.FindString(out.String()) + path)
		require.NoError(t, err)
		body, err := io.ReadAll(page.Body)
		require.NoError(t, errors.Join(err, page.Body.Close()))
		require.Equal(t, http.StatusOK, page.StatusCode, "%s", body)
		require.Contains(t, string(body), title)
	}

	stop()
	require.Equal(t, exitOK, <-done, out.String())
}

func TestServeNeedsAnAddress(t *testing.T) {
	t.Parallel()
	require.Equal(t, exitUsage, user(t).run("serve", "--listen", "nonsense").code)
}
