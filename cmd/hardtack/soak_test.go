package main

import (
	"fmt"
	"io"
	"net/http"
	"os"
	"regexp"
	"strconv"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"hardtack/db/dbtest"
)

// held is what a running program holds on to: memory of its own in bytes, and
// open files and connections.
type held struct{ memory, files int64 }

func (s *served) held() held {
	s.u.t.Helper()
	dir := fmt.Sprintf("/proc/%d/", s.cmd.Process.Pid)
	status, err := os.ReadFile(dir + "status")
	require.NoError(s.u.t, err)
	kilobytes := regexp.MustCompile(`RssAnon:\s+(\d+) kB`).FindSubmatch(status)
	require.NotNil(s.u.t, kilobytes, "%s", status)
	n, err := strconv.ParseInt(string(kilobytes[1]), 10, 64)
	require.NoError(s.u.t, err)
	files, err := os.ReadDir(dir + "fd")
	require.NoError(s.u.t, err)
	return held{n << 10, int64(len(files))}
}

// steadily asks at even intervals until told to stop; each answer must be good.
func steadily(t *testing.T, stop <-chan struct{}, every time.Duration, next func(n int64) *http.Request, answered *atomic.Int64) {
	link := &http.Client{Transport: &http.Transport{}, Timeout: time.Minute}
	defer link.CloseIdleConnections()
	tick := time.NewTicker(every)
	defer tick.Stop()
	for n := int64(1); ; n++ {
		select {
		case <-stop:
			return
		case <-tick.C:
		}
		resp, err := link.Do(next(n))
		if err != nil {
			t.Error(err)
			return
		}
		_, _ = io.Copy(io.Discard, resp.Body) // only that it ends counts
		_ = resp.Body.Close()
		if resp.StatusCode/100 != 2 {
			t.Error(resp.Request.Method, resp.Request.URL, resp.Status)
			return
		}
		answered.Add(1)
	}
}

// A server that is asked, looked at and written to all the time holds on to no
// more at the end than once it was warm.
func TestAServerDoesNotGrow(t *testing.T) {
	t.Parallel()
	const parts = 6 // the first is for warming up
	part := time.Duration(dbtest.Rounds(t, 1, 300)) * time.Second
	s := user(t).served()
	stop, answered := make(chan struct{}), atomic.Int64{}
	var callers sync.WaitGroup
	for _, c := range []struct {
		every time.Duration
		next  func(int64) *http.Request
	}{
		{10 * time.Millisecond, getting(t, s.url+"/v1/estimates?port=PTHOR&item=rice_white")},
		{50 * time.Millisecond, getting(t, s.url+"/")},
		{100 * time.Millisecond, getting(t, s.url+"/aboard")},
		{100 * time.Millisecond, bringing(t, s.url)},
	} {
		callers.Go(func() { steadily(t, stop, c.every, c.next, &answered) })
	}
	var seen []held
	for range parts {
		most := held{}
		for range 10 {
			time.Sleep(part / 10)
			now := s.held()
			most = held{max(most.memory, now.memory), max(most.files, now.files)}
		}
		seen = append(seen, most)
	}
	close(stop)
	callers.Wait()
	warm, last := seen[1], seen[parts-1]
	const mb = 1 << 20
	said := ""
	for _, h := range seen {
		said += fmt.Sprintf(" %d/%d", h.memory/mb, h.files)
	}
	require.Less(t, last.memory, warm.memory*5/4+16*mb, "memory in MB and open files, part by part:%s", said)
	require.LessOrEqual(t, last.files, warm.files+8, "memory in MB and open files, part by part:%s", said)
	dbtest.Figure(t, "L1", fmt.Sprintf("%s of steady reads, pages and durable writes", parts*part), "%d answered, all good; most memory in MB and open files, part by part:%s", answered.Load(), said)
}
