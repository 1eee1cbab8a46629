package main

import (
	"bytes"
	"context"
	"fmt"
	"io"
	"log/slog"
	"net"
	"net/http"
	"path/filepath"
	"slices"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	ids "github.com/google/uuid"
	"github.com/stretchr/testify/require"

	"hardtack/api"
	"hardtack/api/rest"
	"hardtack/api/watch"
	"hardtack/api/web"
	"hardtack/db"
	"hardtack/db/dbtest"
	"hardtack/seed"
)

// busy is what a load measured: calls answered a second, the time of the
// hundredth slowest, and the processor's time of a call, its caller's share
// included.
type busy struct {
	rate float64
	p99  time.Duration
	cost time.Duration
}

func (b busy) String() string {
	return fmt.Sprintf("%.0f/s, p99 %s, %d µs of processor time each", b.rate, b.p99.Round(time.Millisecond), b.cost.Microseconds())
}

// load has callers ask over and over for a while; every answer must be good.
func load(t *testing.T, callers int, during time.Duration, next func(n int64) *http.Request) busy {
	t.Helper()
	link := &http.Client{Transport: &http.Transport{MaxIdleConnsPerHost: callers}, Timeout: time.Minute}
	defer link.CloseIdleConnections()
	var count atomic.Int64
	var mu sync.Mutex
	var took []time.Duration
	var all sync.WaitGroup
	begin, spent := time.Now(), dbtest.Processor()
	for range callers {
		all.Go(func() {
			var own []time.Duration
			for time.Since(begin) < during {
				start := time.Now()
				resp, err := link.Do(next(count.Add(1)))
				if err != nil {
					t.Error(err)
					return
				}
				_, _ = io.Copy(io.Discard, resp.Body)
				_ = resp.Body.Close()
				if resp.StatusCode/100 != 2 {
					t.Error(resp.Status)
					return
				}
				own = append(own, time.Since(start))
			}
			mu.Lock()
			defer mu.Unlock()
			took = append(took, own...)
		})
	}
	all.Wait()
	whole, cost := time.Since(begin), dbtest.Processor()-spent
	require.NotEmpty(t, took)
	slices.Sort(took)
	return busy{float64(len(took)) / whole.Seconds(), took[len(took)*99/100], cost / time.Duration(len(took))}
}

// boatServer is what serve serves, on a file with some reports, with a log of
// every call as share keeps it.
func boatServer(t *testing.T) string {
	t.Helper()
	w, err := api.LoadWorld(seed.FS)
	require.NoError(t, err)
	d, err := db.Open(t.Context(), filepath.Join(t.TempDir(), "boat.db"))
	require.NoError(t, err)
	s := api.New(d, w, api.Options{})
	sh := &shell{ctx: t.Context(), out: io.Discard, err: io.Discard}
	l, err := net.Listen("tcp", "127.0.0.1:0")
	require.NoError(t, err)
	ctx, stop := context.WithCancel(context.Background())
	ended := make(chan error)
	handler := watch.New(slog.New(slog.NewJSONHandler(io.Discard, nil))).UnderWay((&listening{}).handler(sh, s, web.Options{}))
	go func() { ended <- rest.Serve(ctx, l, handler) }()
	t.Cleanup(func() {
		stop()
		require.NoError(t, <-ended)
		require.NoError(t, d.Close())
	})
	return "http://" + l.Addr().String()
}

func getting(t *testing.T, url string) func(int64) *http.Request {
	return func(int64) *http.Request {
		r, err := http.NewRequest(http.MethodGet, url, nil)
		if err != nil {
			t.Error(err)
		}
		return r
	}
}

func bringing(t *testing.T, url string) func(int64) *http.Request {
	return func(int64) *http.Request {
		body := `{"port":"PTHOR","item":"rice_white","day":"2026-06-01","found":"none","source":"shelf","reporter":"r1"}`
		r, err := http.NewRequest(http.MethodPut, url+"/v1/reports/"+ids.NewString(), bytes.NewBufferString(body))
		if err != nil {
			t.Error(err)
		}
		r.Header.Set("Content-Type", "application/json")
		return r
	}
}

// Pages, JSON and durable writes from one server, callers and all on one
// machine.
func TestLoad(t *testing.T) {
	during := time.Duration(dbtest.Rounds(t, 1, 10)) * time.Second
	url := boatServer(t)
	load(t, 1, time.Second/10, getting(t, url+"/v1/estimates?port=PTHOR&item=rice_white")) // fits
	reads := load(t, 16, during, getting(t, url+"/v1/estimates?port=PTHOR&item=rice_white"))
	pages := load(t, 16, during, getting(t, url+"/"))
	writes := load(t, 32, during, bringing(t, url))
	dbtest.Figure(t, "L1", "one server on SQLite, synchronous=FULL, with its callers on the same machine",
		"JSON reads %s; pages %s; durable single writes %s", reads, pages, writes)
}

// Connections that send a byte now and then, or nothing, cost the others
// little.
func TestSlowClients(t *testing.T) {
	url := boatServer(t)
	read := getting(t, url+"/v1/estimates?port=PTHOR&item=rice_white")
	load(t, 1, time.Second/10, read)
	many, during := dbtest.Rounds(t, 300, 1000), 2*time.Second
	var ratios []float64
	for range 3 { // side by side: the machine may be busy with other things
		alone := load(t, 8, during, read)
		leave := dawdle(t, url[len("http://"):], many)
		beside := load(t, 8, during, read)
		leave()
		ratios = append(ratios, float64(beside.p99)/float64(alone.p99))
	}
	slices.Sort(ratios)
	dbtest.Figure(t, "L1", fmt.Sprintf("%d slow connections", many), "p99 of the others %.2f times what it is without (three times: %.2f)", ratios[1], ratios)
	require.Less(t, ratios[0], 2.0)
}

// dawdle opens connections that begin a request and send a byte of its head a
// second.
func dawdle(t *testing.T, address string, n int) (leave func()) {
	t.Helper()
	ctx, stop := context.WithCancel(context.Background())
	var all sync.WaitGroup
	for range n {
		c, err := net.Dial("tcp", address)
		require.NoError(t, err)
		all.Go(func() {
			defer c.Close()
			head := []byte("GET /v1/ports HTTP/1.1\r\nHost: localhost\r\nX: " + string(bytes.Repeat([]byte("x"), 1000)))
			for _, b := range head {
				if _, err := c.Write([]byte{b}); err != nil {
					return // it was hung up on
				}
				select {
				case <-ctx.Done():
					return
				case <-time.After(time.Second):
				}
			}
		})
	}
	return func() { stop(); all.Wait() }
}
