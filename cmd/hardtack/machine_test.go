package main

import (
	"bytes"
	"context"
	"net/http"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
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
	require.Contains(t, u.ok("--db", filepath.Join(u.home, "third.db"), "voyage"), "No voyage is kept yet")
}

func TestMigrate(t *testing.T) {
	t.Parallel()
	u := user(t)
	require.Contains(t, u.ok("migrate"), "has schema 0")
	require.Contains(t, u.ok("migrate", "up"), "has schema 1")
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

	stop()
	require.Equal(t, exitOK, <-done, out.String())
}

func TestServeNeedsAnAddress(t *testing.T) {
	t.Parallel()
	require.Equal(t, exitUsage, user(t).run("serve", "--listen", "nonsense").code)
}
