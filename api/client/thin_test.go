package client_test

import (
	"context"
	"errors"
	"fmt"
	"io"
	"net"
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"sync/atomic"
	"testing"
	"time"

	"github.com/Shopify/toxiproxy/v2"
	"github.com/prometheus/client_golang/prometheus"
	"github.com/rs/zerolog"
	"github.com/stretchr/testify/require"

	"hardtack/api/client"
	"hardtack/api/exchange"
	"hardtack/db"
	"hardtack/db/dbtest"
)

// meter counts every byte of a client's connections, headers and all.
type meter struct {
	up, down atomic.Int64
}

type metered struct {
	net.Conn
	m *meter
}

func (c metered) Write(b []byte) (int, error) {
	n, err := c.Conn.Write(b)
	c.m.up.Add(int64(n))
	return n, err
}

func (c metered) Read(b []byte) (int, error) {
	n, err := c.Conn.Read(b)
	c.m.down.Add(int64(n))
	return n, err
}

func (m *meter) client() *http.Client {
	return &http.Client{Transport: &http.Transport{DisableCompression: true, DialContext: func(ctx context.Context, network, addr string) (net.Conn, error) {
		c, err := (&net.Dialer{}).DialContext(ctx, network, addr)
		return metered{c, m}, err
	}}}
}

func (m *meter) total() int64 { return m.up.Load() + m.down.Load() }

// link is a connection to a server that can be spoilt.
func link(t testing.TB, server string) *toxiproxy.Proxy {
	t.Helper()
	api := toxiproxy.NewServer(toxiproxy.NewMetricsContainer(prometheus.NewRegistry()), zerolog.Nop())
	p := toxiproxy.NewProxy(api, "link", "127.0.0.1:0", strings.TrimPrefix(server, "http://"))
	require.NoError(t, p.Start())
	t.Cleanup(p.Stop)
	return p
}

func spoil(t testing.TB, p *toxiproxy.Proxy, toxic string) {
	t.Helper()
	_, err := p.Toxics.AddToxicJson(strings.NewReader(toxic))
	require.NoError(t, err)
}

// copied is a boat with a copy of a database file.
func copied(t testing.TB, file string) boat {
	t.Helper()
	b, err := os.ReadFile(file)
	require.NoError(t, err)
	to := filepath.Join(t.TempDir(), "copy.db")
	require.NoError(t, os.WriteFile(to, b, 0o600))
	return aboard(t, dbtest.Reopen(t, to), noon)
}

// filed is a closed database file with n reports.
func filed(t testing.TB, n int) string {
	t.Helper()
	url := dbtest.SQLite(t)
	d, err := db.Open(ctx, url)
	require.NoError(t, err)
	aboard(t, d, noon).report(t, 0, n)
	require.NoError(t, d.Close())
	return url
}

var once = client.Options{Tries: 1}

func (b boat) visit(t testing.TB, p *toxiproxy.Proxy, m *meter) (exchange.Done, error) {
	t.Helper()
	o := once
	o.HTTP = m.client()
	c, err := client.New("http://"+p.Listen, o)
	require.NoError(t, err)
	defer c.Close()
	return c.Exchange(ctx, b.Service, whole)
}

// The link is cut after every kilobyte of an exchange, once of what goes up and
// once of what comes down: everything arrives exactly once, and a second visit
// sends at most 64 KB again.
func TestALinkCutAtEveryKilobyte(t *testing.T) {
	t.Parallel()
	const reports = 1200
	fileA, fileB := filed(t, reports), filed(t, reports)

	clean := &meter{}
	a, b := copied(t, fileA), copied(t, fileB)
	done, err := a.visit(t, link(t, b.url), clean)
	require.NoError(t, err)
	require.Equal(t, reports, done.Brought)
	want := a.hash(t)
	require.Equal(t, want, b.hash(t))
	kilobytes := max(clean.up.Load(), clean.down.Load())/1000 + 1
	step := int64(dbtest.Rounds(t, 9, 1))
	worst, cuts := int64(0), 0
	for _, stream := range []string{"upstream", "downstream"} {
		for k := int64(1); k <= kilobytes; k += step {
			t.Run(fmt.Sprintf("%s/%dkB", stream, k), func(t *testing.T) {
				a, b, m := copied(t, fileA), copied(t, fileB), &meter{}
				p := link(t, b.url)
				spoil(t, p, fmt.Sprintf(`{"name":"cut","type":"limit_data","stream":%q,"attributes":{"bytes":%d}}`, stream, k*1000))
				_, err := a.visit(t, p, m)
				if err != nil {
					cuts++
				}
				require.NoError(t, p.Toxics.RemoveToxic(ctx, "cut"))
				done, err := a.visit(t, p, m)
				require.NoError(t, err)
				require.Equal(t, want, a.hash(t))
				require.Equal(t, want, b.hash(t))
				require.LessOrEqual(t, done.Brought, reports)
				worst = max(worst, m.total()-clean.total())
			})
		}
	}
	require.Positive(t, cuts, "no visit was cut: nothing is shown")
	require.LessOrEqual(t, worst, int64(64<<10), "sent again")
	dbtest.Figure(t, "Y1", fmt.Sprintf("%d cuts, %d kB up, %d kB down", cuts, clean.up.Load()/1000, clean.down.Load()/1000), "everything once, at most %d bytes sent again", worst)
}

// What a boat pays for: bytes of the wire, headers and all.
func TestBytesOfAVisit(t *testing.T) {
	t.Parallel()
	server, a := newBoat(t, dbtest.SQLite, noon), newBoat(t, dbtest.SQLite, noon)
	server.report(t, 0, 200)
	p := link(t, server.url)
	visit := func() int64 {
		m := &meter{}
		c, err := client.New("http://"+p.Listen, client.Options{Tries: 1, HTTP: m.client(), Key: "ht_" + strings.Repeat("x", 50)})
		require.NoError(t, err)
		defer c.Close()
		_, err = c.Exchange(ctx, a.Service, exchange.Visit{})
		require.NoError(t, err)
		return m.total()
	}
	visit()
	nothing := visit()
	a.report(t, 0, 100)
	hundred := visit()
	dbtest.Figure(t, "Y4", "nothing new", "%d bytes", nothing)
	dbtest.Figure(t, "Y4", "100 new reports", "%d bytes", hundred)
	require.LessOrEqual(t, nothing, int64(1<<10))
	require.LessOrEqual(t, hundred, int64(6<<10))
}

// 8 kbit/s and two seconds there and back: slow, but it ends.
func TestALinkOfEightKilobits(t *testing.T) {
	t.Parallel()
	a, b := newBoat(t, dbtest.SQLite, noon), newBoat(t, dbtest.SQLite, noon)
	a.report(t, 0, 150)
	b.report(t, 0, 60)
	p, m := link(t, b.url), &meter{}
	for _, stream := range []string{"upstream", "downstream"} {
		spoil(t, p, fmt.Sprintf(`{"name":"slow %s","type":"bandwidth","stream":%q,"attributes":{"rate":1}}`, stream, stream)) // kB/s
		spoil(t, p, fmt.Sprintf(`{"name":"far %s","type":"latency","stream":%q,"attributes":{"latency":1000}}`, stream, stream))
	}
	begin := time.Now()
	_, err := a.visit(t, p, m)
	require.NoError(t, err)
	require.Equal(t, a.hash(t), b.hash(t))
	dbtest.Figure(t, "Y4", "8 kbit/s, 2 s there and back, 150 reports up, 60 down", "%d bytes in %.0f s", m.total(), time.Since(begin).Seconds())
}

func TestRefusalsAndRepeats(t *testing.T) {
	t.Parallel()
	for _, bad := range []string{"", "boat", "ftp://boat", "http://", "http://u:p@boat", "http://boat?x=1"} {
		_, err := client.New(bad, client.Options{})
		require.ErrorIs(t, err, client.ErrAddress, bad)
	}
	for _, tt := range []struct {
		name    string
		answers []int // status of one after the other; the last one stays
		tries   int
		ok      bool
	}{
		{"busy, then not", []int{503, 429, 200}, 3, true},
		{"not allowed", []int{403}, 1, false},
		{"always busy", []int{503}, 4, false},
		{"a page of a harbour's network", []int{511}, 1, false},
	} {
		t.Run(tt.name, func(t *testing.T) {
			t.Parallel()
			target := newBoat(t, dbtest.SQLite, noon)
			n := 0
			l, err := net.Listen("tcp", "127.0.0.1:0")
			require.NoError(t, err)
			go http.Serve(l, http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
				status := tt.answers[min(n, len(tt.answers)-1)]
				n++
				if status != 200 {
					w.Header().Set("Retry-After", "7")
					http.Error(w, "<html>", status)
					return
				}
				resp, err := http.Post(target.url+r.URL.Path, r.Header.Get("Content-Type"), r.Body)
				if err == nil {
					w.Header().Set("Content-Type", resp.Header.Get("Content-Type"))
					_, _ = io.Copy(w, resp.Body)
					resp.Body.Close()
				}
			}))
			t.Cleanup(func() { l.Close() })
			var waited []time.Duration
			c, err := client.New("http://"+l.Addr().String(), client.Options{Tries: 4, Wait: func(_ context.Context, d time.Duration) error { waited = append(waited, d); return nil }})
			require.NoError(t, err)
			defer c.Close()
			_, err = c.Exchange(ctx, newBoat(t, dbtest.SQLite, noon).Service, exchange.Visit{})
			require.Equal(t, tt.ok, err == nil, "%v", err)
			require.Equal(t, tt.tries, n)
			var p *client.Problem
			if !tt.ok {
				require.True(t, errors.As(err, &p))
			}
			for _, w := range waited {
				require.Equal(t, 7*time.Second, w, "as long as the server asks for")
			}
		})
	}
}
