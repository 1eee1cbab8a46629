package main

import (
	"bytes"
	"context"
	"crypto/sha256"
	"encoding/json"
	"fmt"
	"io"
	"net/http"
	"os"
	"regexp"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// noise is what a server writes to standard error, read while it runs.
type noise struct {
	mu sync.Mutex
	b  bytes.Buffer
}

func (n *noise) Write(p []byte) (int, error) {
	n.mu.Lock()
	defer n.mu.Unlock()
	return n.b.Write(p)
}

func (n *noise) String() string {
	n.mu.Lock()
	defer n.mu.Unlock()
	return n.b.String()
}

func get(t *testing.T, method, url, key, body string) (int, string) {
	t.Helper()
	r, err := http.NewRequest(method, url, strings.NewReader(body))
	require.NoError(t, err)
	if key != "" {
		r.Header.Set("Authorization", "Bearer "+key)
	}
	if body != "" {
		r.Header.Set("Content-Type", "application/json")
	}
	resp, err := http.DefaultClient.Do(r)
	require.NoError(t, err)
	defer resp.Body.Close()
	b, err := io.ReadAll(resp.Body)
	require.NoError(t, err)
	return resp.StatusCode, string(b)
}

// shares serves on a day until stop.
func (u as) shares(log *noise, today, metrics string) (url string, stop func()) {
	u.t.Helper()
	ctx, cancel := context.WithCancel(context.Background())
	ended := make(chan int)
	getenv := func(name string) string {
		if name == "HARDTACK_TODAY" {
			return today
		}
		return u.getenv(name)
	}
	go func() {
		args := []string{"share", "--listen", "127.0.0.1:0", "--metrics", metrics, "--every", "1s", "--enough", "1", "--delay", "0"}
		ended <- run(ctx, args, getenv, strings.NewReader(""), io.Discard, log)
	}()
	address := regexp.MustCompile(`"address":"(127[^"]+)"`)
	require.Eventually(u.t, func() bool { return address.MatchString(log.String()) }, 30*time.Second, 20*time.Millisecond)
	return "http://" + address.FindStringSubmatch(log.String())[1], func() {
		cancel()
		require.Equal(u.t, exitOK, <-ended, log.String())
	}
}

// A server of many boats from its first account to its end, and nothing secret
// in what it writes: neither keys, passwords nor anybody's words.
func TestShare(t *testing.T) {
	t.Parallel()
	server, boat := user(t), user(t)
	lines := strings.Fields(server.ok("account", "add", "Petrel"))
	require.Len(t, lines, 2)
	key := lines[1]
	r := server.runWith("the canary's password\n", "account", "add", "boss", "--role", "moderator")
	require.Equal(t, exitOK, r.code, r.err)

	var log noise
	url, stop := server.shares(&log, "2026-09-05", "127.0.0.1:18098")

	boat.file("key", key+"\n")
	boat.ok("report", "ESLPA", "rice_white", "--paid", "1,85", "--day", "2026-07-04", "--note", "canary words")
	boat.ok("report", "ESLPA", "honey", "--none")
	require.Contains(t, boat.ok("exchange", url, "--key-file", boat.home+"/key"), "2 brought, 0 fetched")
	other := strings.Fields(server.ok("account", "add", "Shearwater"))[1]
	guest := user(t)
	guest.file("key", other)
	require.Contains(t, guest.ok("exchange", url, "--key-file", guest.home+"/key"), "0 fetched", "September is not over")
	stop()
	log.b.Reset()
	url, stop = server.shares(&log, "2026-10-01", "127.0.0.1:18099")
	require.Eventually(t, func() bool { return strings.Contains(log.String(), `"msg":"published"`) }, 20*time.Second, 100*time.Millisecond)
	require.Contains(t, guest.ok("exchange", url, "--key-file", guest.home+"/key"), "2 fetched")
	told := guest.ok("--json", "report", "list")
	require.Contains(t, told, "2026-09-01", "told by the month it came in")
	require.NotContains(t, told, "canary words")
	require.Equal(t, exitFault, boat.run("exchange", url).code, "without a key")

	status, body := get(t, "POST", url+"/v1/logins", "", `{"name":"boss","password":"the canary's password"}`)
	require.Equal(t, http.StatusCreated, status, body)
	status, _ = get(t, "GET", url+"/v1/vessels", key, "")
	require.Equal(t, http.StatusNotFound, status, "no boat's own things")
	get(t, "GET", url+"/v1/estimates?port=ESLPA&item=canary-item", "ht_canaryky_"+strings.Repeat("c", 52), "")
	status, figures := get(t, "GET", "http://127.0.0.1:18099/metrics", "", "")
	require.Equal(t, http.StatusOK, status)
	require.Contains(t, figures, `hardtack_requests_total{method="POST",route="/v1/exchange",status="200"}`)
	require.Contains(t, figures, `hardtack_published_total{what="told"} 2`)

	stop()
	for _, line := range strings.Split(strings.TrimSpace(log.String()), "\n") {
		require.True(t, json.Valid([]byte(line)), line)
	}
	for _, secret := range []string{key[12:], other[12:], "canary", "127.0.0.1:0"} {
		require.NotContains(t, log.String(), secret)
		require.NotContains(t, figures, secret)
	}
	require.Contains(t, log.String(), `"route":"/v1/exchange"`)
}

func TestNewsAndOpenData(t *testing.T) {
	t.Parallel()
	u := user(t)
	require.Contains(t, u.ok("news", "--since", "2026-08-01"), "No price")
	for _, paid := range []string{"6.10", "6.20", "6.15"} {
		u.ok("report", "ESLPA", "rice_white", "--paid", paid, "--by", "b"+paid, "--day", "2026-08-20")
	}
	require.Regexp(t, `ESLPA +rice_white +\+\d+ %`, u.ok("news", "--since", "2026-08-01"))
	require.Contains(t, u.ok("news", "--since", "2026-08-20", "--port", "ESLPA"), "No price", "nothing after that day")
	require.Equal(t, exitUsage, u.run("news", "--since", "2027-01-01").code)
	require.Equal(t, exitUsage, u.run("news", "--since", "2026-08-01", "--port", "XXXXX").code)

	dir := u.home + "/told"
	require.Contains(t, u.ok("publish", dir), "0 reports", "nobody's turn has come")
	require.Contains(t, u.ok("estimate", "--dataset", dir, "--on", "2026-09-01"), "port,item,day", "the files are read again")
	sums, err := os.ReadFile(dir + "/SHA256SUMS")
	require.NoError(t, err)
	lines := strings.Split(strings.TrimSpace(string(sums)), "\n")
	require.Len(t, lines, 5)
	for _, line := range lines {
		sum, name, _ := strings.Cut(line, "  ")
		b, err := os.ReadFile(dir + "/" + name)
		require.NoError(t, err)
		require.Equal(t, fmt.Sprintf("%x", sha256.Sum256(b)), sum, name)
	}
	require.Equal(t, exitUsage, u.run("publish", dir).code, "the folder is there")
}
