package main

import (
	"encoding/json"
	"net/http"
	"net/url"
	"os"
	"os/exec"
	"regexp"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"hardtack/db"
	"hardtack/db/dbtest"
)

// sharer is a server of many boats in a process of its own.
type sharer struct {
	url string
	log *noise
	cmd *exec.Cmd
}

func (u as) sharesAt(where, today string, args ...string) *sharer {
	u.t.Helper()
	s := &sharer{log: &noise{}}
	s.cmd = u.process(nil, append([]string{"share", "--db", where, "--listen", "127.0.0.1:0", "--every", "1s", "--enough", "1", "--delay", "0", "--drain", "2s"}, args...)...)
	s.cmd.Env = append(s.cmd.Env, "HARDTACK_TODAY="+today)
	s.cmd.Stderr = s.log
	require.NoError(u.t, s.cmd.Start())
	u.t.Cleanup(func() { _ = s.cmd.Process.Kill(); _ = s.cmd.Wait() }) // if it has not ended yet
	address := regexp.MustCompile(`"address":"(127[^"]+)"`)
	require.Eventually(u.t, func() bool { return address.MatchString(s.log.String()) }, 30*time.Second, 20*time.Millisecond, s.log)
	s.url = "http://" + address.FindStringSubmatch(s.log.String())[1]
	return s
}

// fewRights is a role for a server's database, with a password, and its URL.
func fewRights(t *testing.T, at string) string {
	t.Helper()
	u, err := url.Parse(at)
	require.NoError(t, err)
	role := "r" + u.Query().Get("search_path")
	statement(t, at, "CREATE ROLE "+role+" LOGIN PASSWORD 'canary-password'")
	t.Cleanup(func() { statement(t, at, "DROP OWNED BY "+role); statement(t, at, "DROP ROLE "+role) })
	r := user(t).run("migrate", "up", "--db", at, "--role", role)
	require.Equal(t, exitOK, r.code, r.err)
	u.User = url.UserPassword(role, "canary-password")
	return u.String()
}

func statement(t *testing.T, at, text string) {
	t.Helper()
	require.NoError(t, dbtest.Do(at, text))
}

// Two processes on one PostgreSQL, as a role that may not pass the walls: what
// one takes the other tells, both believe the same, an account's limits apart
// nothing is kept in either; one that is asked to stop says so while it still
// answers, and the other goes on.
func TestTwoServersOnOneDatabase(t *testing.T) {
	t.Parallel()
	at := fewRights(t, dbtest.Migrated(t, dbtest.Postgres))
	server, boat := user(t), user(t)
	key := strings.Fields(server.ok("account", "add", "Petrel", "--db", at))[1]
	boat.file("key", key)
	september := server.sharesAt(at, "2026-09-05")
	for _, paid := range []string{"1.85", "1.95", "1.75"} {
		boat.ok("report", "ESLPA", "rice_white", "--paid", paid, "--day", "2026-08-20", "--by", "c"+paid)
	}
	require.Contains(t, boat.ok("exchange", september.url, "--key-file", boat.home+"/key"), "3 brought")
	require.NoError(t, september.cmd.Process.Signal(os.Interrupt))
	require.NoError(t, september.cmd.Wait(), september.log)
	a, b := server.sharesAt(at, "2026-10-01"), server.sharesAt(at, "2026-10-01", "--metrics", "127.0.0.1:18097")
	require.Contains(t, boat.ok("exchange", b.url, "--key-file", boat.home+"/key"), "0 brought")
	told := func() int {
		return strings.Count(a.log.String()+b.log.String(), `"msg":"published"`)
	}
	require.Eventually(t, func() bool { return told() > 0 }, 30*time.Second, 50*time.Millisecond)
	guest := user(t)
	guest.file("key", strings.Fields(server.ok("account", "add", "Tern", "--db", at))[1])
	require.Contains(t, guest.ok("exchange", b.url, "--key-file", guest.home+"/key"), "1 fetched", "one of an account")
	require.Equal(t, 1, told(), "one of them does it")

	believed := func(s *sharer) (price float64) {
		status, body := get(t, "GET", s.url+"/v1/estimates?port=ESLPA&item=rice_white", key, "")
		require.Equal(t, http.StatusOK, status, body)
		var answer struct{ Estimates []struct{ Price float64 } }
		require.NoError(t, json.Unmarshal([]byte(body), &answer))
		require.Len(t, answer.Estimates, 1, body)
		return answer.Estimates[0].Price
	}
	// Who asks while one fits is told what was believed before.
	require.Eventually(t, func() bool { return believed(a) == believed(b) }, time.Minute, 100*time.Millisecond)
	require.Positive(t, believed(a))

	require.NoError(t, a.cmd.Process.Signal(syscall.SIGTERM))
	require.Eventually(t, func() bool {
		status, _ := get(t, "GET", a.url+"/readyz", "", "")
		return status == http.StatusServiceUnavailable
	}, time.Second, 20*time.Millisecond)
	require.Equal(t, believed(b), believed(a), "it still answers")
	require.NoError(t, a.cmd.Wait(), a.log)
	require.Contains(t, a.log.String(), `"msg":"leaving"`)
	status, _ := get(t, "GET", b.url+"/readyz", "", "")
	require.Equal(t, http.StatusOK, status)
	_, figures := get(t, "GET", "http://127.0.0.1:18097/metrics", "", "")
	for _, name := range []string{"hardtack_requests_total", "hardtack_request_seconds_bucket", "hardtack_requests_under_way", "hardtack_database_connections_in_use",
		"hardtack_database_wait_seconds_total", "hardtack_publish_seconds_count", "hardtack_faults_total 0", "hardtack_leaving 0", "go_goroutines", "process_resident_memory_bytes"} {
		require.Contains(t, figures, name)
	}
	require.NotContains(t, a.log.String()+b.log.String(), "second wall", "it holds")
	for _, secret := range []string{"canary", key[12:]} {
		require.NotContains(t, a.log.String()+b.log.String()+figures, secret)
	}
	require.NoError(t, b.cmd.Process.Signal(os.Interrupt))
	require.NoError(t, b.cmd.Wait(), b.log)
	walled, err := walledAt(t, at)
	require.NoError(t, err)
	require.True(t, walled)
}

func walledAt(t *testing.T, at string) (bool, error) {
	t.Helper()
	d, err := db.Open(t.Context(), at)
	require.NoError(t, err)
	defer d.Close()
	return d.Walled(t.Context())
}
