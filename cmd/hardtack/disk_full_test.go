package main

import (
	"bytes"
	"encoding/json"
	"io"
	"net/http"
	"os/exec"
	"regexp"
	"strconv"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"hardtack/db/dbtest"
)

// served is a server in a process of its own.
type served struct {
	u   as
	cmd *exec.Cmd
	url string
}

func (u as) served(args ...string) *served {
	u.t.Helper()
	var said heard
	cmd := u.process(nil, append([]string{"serve", "--listen", "127.0.0.1:0"}, args...)...)
	cmd.Stderr, cmd.Stdout = &said, &said
	require.NoError(u.t, cmd.Start())
	u.t.Cleanup(func() {
		_ = cmd.Process.Kill() // it may be gone
		_ = cmd.Wait()
	})
	address := regexp.MustCompile(`http://127\.0\.0\.1:\d+`)
	require.Eventually(u.t, func() bool { return address.MatchString(said.String()) }, time.Minute, 5*time.Millisecond)
	return &served{u, cmd, address.FindString(said.String())}
}

func (s *served) do(method, path, body string) (status int, contentType, text string) {
	s.u.t.Helper()
	r, err := http.NewRequest(method, s.url+path, strings.NewReader(body))
	require.NoError(s.u.t, err)
	r.Header.Set("Content-Type", "application/json")
	answer, err := http.DefaultClient.Do(r)
	require.NoError(s.u.t, err)
	defer answer.Body.Close()
	b, err := io.ReadAll(answer.Body)
	require.NoError(s.u.t, err)
	return answer.StatusCode, answer.Header.Get("Content-Type"), string(b)
}

// failing lets a storage call of the running server fail from its n-th on,
// until the function it gives is called.
func (s *served) failing(call, how string, n int) (stop func()) {
	s.u.t.Helper()
	var said heard
	tracer := exec.Command("strace", "-f", "-e", "signal=none", "-e", "trace="+call, "-o", "/dev/null",
		"-e", "inject="+call+":"+how+":when="+itoa(n)+"+", "-p", strconv.Itoa(s.cmd.Process.Pid))
	tracer.Stderr = &said
	require.NoError(s.u.t, tracer.Start())
	require.Eventually(s.u.t, func() bool { return strings.Contains(said.String(), "attached") }, 20*time.Second, 5*time.Millisecond, "%s", &said)
	return func() {
		require.NoError(s.u.t, tracer.Process.Signal(syscall.SIGTERM))
		_ = tracer.Wait() // it was told to go
	}
}

// A full disk answers 507 and says so, nothing of the write is kept, reads go
// on, and with room again writes do. The same with a disk that answers with an
// I/O error, which is a fault (500).
func TestAFullDiskOverHTTP(t *testing.T) {
	t.Parallel()
	u := user(t)
	s := u.served()
	vessel := func(n int) string { return strings.Replace(smallVessel, `"dory"`, `"v`+itoa(n)+`"`, 1) }
	put := func(n int) (int, string, string) { return s.do("PUT", "/v1/vessels/v"+itoa(n), vessel(n)) }
	there := func(n int) bool {
		status, _, _ := s.do("GET", "/v1/vessels/v"+itoa(n), "")
		return status == http.StatusOK
	}
	status, _, text := put(0)
	require.Less(t, status, 300, text)

	refused, next := 0, 1
	for _, failure := range []struct {
		call, how string
		status    int
	}{
		{"pwrite64", "error=ENOSPC", http.StatusInsufficientStorage},
		{"pwrite64", "error=EIO", http.StatusInternalServerError},
		{"fsync", "error=EIO", http.StatusInternalServerError},
	} {
		for n := 1; n <= dbtest.Rounds(t, 3, 12); n++ {
			stop := s.failing(failure.call, failure.how, n)
			for range 4 {
				id := next
				next++
				status, contentType, text := put(id)
				if status < 300 {
					require.True(t, there(id), "success was told")
					continue
				}
				refused++
				require.Equal(t, failure.status, status, text)
				require.Equal(t, "application/problem+json", contentType)
				require.True(t, json.Valid([]byte(text)))
				require.False(t, there(id), "%s %d: refused, and there", failure.call, n)
				require.True(t, there(0), "reads go on")
			}
			stop()
			status, _, text := put(next)
			require.Less(t, status, 300, "room again: %s", text)
			next++
		}
	}
	require.NotZero(t, refused)
	require.NoError(t, s.cmd.Process.Kill())
	_ = s.cmd.Wait()
	require.Equal(t, exitOK, u.run("doctor").code)
	var all []json.RawMessage
	require.NoError(t, json.NewDecoder(bytes.NewReader([]byte(u.ok("vessel", "--json")))).Decode(&all))
	require.Len(t, all, next-refused, "what was acknowledged is there after a kill, nothing else")
	dbtest.Figure(t, "D4", "writes over HTTP on a full or failing disk", "%d refused (507 full, 500 I/O error, problem+json), %d taken; reads went on, writes too once there was room", refused, next-refused)
}
