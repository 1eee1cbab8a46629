package client_test

import (
	"context"
	"fmt"
	"net/http/httptest"
	"os"
	"sync"
	"testing"
	"time"

	"github.com/google/uuid"
	"github.com/stretchr/testify/require"

	"hardtack/api"
	"hardtack/api/client"
	"hardtack/api/exchange"
	"hardtack/api/rest"
	"hardtack/db"
	"hardtack/db/dbtest"
	"hardtack/pricing"
	"hardtack/pricing/money"
	"hardtack/seed"
)

var (
	ctx   = context.Background()
	world = sync.OnceValues(func() (*api.World, error) { return api.LoadWorld(seed.FS) })
	codec = sync.OnceValues(exchange.NewCodec)
	noon  = time.Date(2026, 6, 15, 12, 0, 0, 0, time.UTC)
)

// boat is a database of its own, with a server in front of it.
type boat struct {
	*api.Service
	url string
	db  *db.DB
}

func newBoat(t testing.TB, e dbtest.Engine, now time.Time) boat {
	t.Helper()
	return aboard(t, dbtest.Open(t, e), now)
}

func aboard(t testing.TB, d *db.DB, now time.Time) boat {
	t.Helper()
	w, err := world()
	require.NoError(t, err)
	c, err := codec()
	require.NoError(t, err)
	svc := api.New(d, w, api.Options{Now: func() time.Time { return now }, Codec: c})
	s := httptest.NewServer(rest.New(svc, rest.Options{Fault: func(method, path string, err error) { t.Errorf("%s %s: %v", method, path, err) }}))
	t.Cleanup(s.Close)
	return boat{svc, s.URL, d}
}

// report records n prices as a skipper would on one shopping day, some of them
// on receipts.
func (b boat) report(t testing.TB, first, n int) {
	t.Helper()
	me, err := b.Me(ctx)
	require.NoError(t, err)
	w, err := world()
	require.NoError(t, err)
	ports := w.Ports.All()
	var rs []pricing.Report
	for i := first; i < first+n; i++ {
		p := ports[i/25%len(ports)]
		it := w.Catalogue.Items[w.Catalogue.Order[i%len(w.Catalogue.Order)]]
		rs = append(rs, pricing.Report{
			ID: uuid.NewSHA1(uuid.NameSpaceOID, fmt.Append(nil, me, i)).String(), Port: p.ID, Item: it.ID, Day: b.Today() - 30 + 1,
			Found: pricing.FoundYes, Paid: money.Amount{Minor: int64(100 * (1 + i*7919%5000)), Currency: "EUR"}, Pack: it.ListPack,
			Shop: []string{"market hall", "by the church", "supermarket at the ring road"}[i%3], Reporter: me, Source: pricing.Receipt,
		})
	}
	_, err = b.db.AddReports(ctx, rs) // as they are kept; nobody asks about slips here
	require.NoError(t, err)
}

func (b boat) hash(t testing.TB) string {
	t.Helper()
	h, err := b.StateHash(ctx)
	require.NoError(t, err)
	return h
}

// call lets b call on a server at an address until it succeeds.
func (b boat) call(t testing.TB, url string, v exchange.Visit) exchange.Done {
	t.Helper()
	c, err := client.New(url, client.Options{Wait: func(context.Context, time.Duration) error { return nil }})
	require.NoError(t, err)
	defer c.Close()
	done, err := c.Exchange(ctx, b.Service, v)
	require.NoError(t, err)
	return done
}

var whole = exchange.Visit{Whole: true}

func TestTwoBoatsSideBySide(t *testing.T) {
	t.Parallel()
	for name, e := range map[string]dbtest.Engine{"sqlite": dbtest.SQLite, "postgres": dbtest.Postgres} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			a, b := newBoat(t, dbtest.SQLite, noon), newBoat(t, e, noon)
			a.report(t, 0, 2500)
			b.report(t, 0, 700)
			done := a.call(t, b.url, whole)
			require.Equal(t, 2500, done.Brought)
			require.Equal(t, 700, done.Fetched)
			require.Zero(t, done.Doubled, "what was brought is not told back")
			require.Equal(t, a.hash(t), b.hash(t))

			again := a.call(t, b.url, whole)
			require.Zero(t, again.Brought+again.Fetched+again.Doubled)
			back := b.call(t, a.url, whole)
			require.Zero(t, back.Brought+back.Fetched+back.Doubled, "both know what both know, whoever calls")
		})
	}
}

func TestClocksThatAreWrongByYears(t *testing.T) {
	t.Parallel()
	server := newBoat(t, dbtest.SQLite, noon)
	early, late := newBoat(t, dbtest.SQLite, noon.AddDate(-10, 0, 0)), newBoat(t, dbtest.SQLite, noon.AddDate(10, 0, 0))
	early.report(t, 0, 30)
	late.report(t, 0, 30)
	for range 2 {
		early.call(t, server.url, whole)
		done := late.call(t, server.url, whole)
		require.InDelta(t, 10*365.25*86400, done.ClockOff, 4*86400, "the caller is told that its clock is off")
	}
	require.Equal(t, server.hash(t), early.hash(t))
	require.Equal(t, server.hash(t), late.hash(t))
	rs, _, err := server.Reports(ctx, db.Filter{}, db.Cursor{}, 100)
	require.NoError(t, err)
	require.Len(t, rs, 60)
	for _, r := range rs {
		require.LessOrEqual(t, r.Day, server.Today()+1, "no day to come is read as one")
	}
}

func TestARestoredServerIsToldAgain(t *testing.T) {
	t.Parallel()
	url := dbtest.SQLite(t)
	d, err := db.Open(ctx, url)
	require.NoError(t, err)
	server := aboard(t, d, noon)
	boats := []boat{newBoat(t, dbtest.SQLite, noon), newBoat(t, dbtest.SQLite, noon)}
	boats[0].report(t, 0, 50)
	boats[0].call(t, server.url, whole)
	backup := url + ".backup"
	_, err = d.BackupFile(ctx, backup)
	require.NoError(t, err)
	boats[0].report(t, 50, 50)
	boats[1].report(t, 0, 20)
	for range 2 {
		for _, b := range boats {
			b.call(t, server.url, whole)
		}
	}
	want := server.hash(t)

	restored := dbtest.Open(t, dbtest.SQLite)
	restore(t, restored, backup)
	again := aboard(t, restored, noon)
	require.NotEqual(t, want, again.hash(t))
	for range 2 {
		for _, b := range boats {
			c, err := client.New(again.url, client.Options{})
			require.NoError(t, err)
			defer c.Close()
			v := whole
			_, err = b.Exchange(ctx, exchange.Visit{Peer: server.url, Whole: v.Whole}, func(ctx context.Context, m []byte) ([]byte, error) { return c.Post(ctx, m) })
			require.NoError(t, err)
		}
	}
	require.Equal(t, want, again.hash(t), "boats give back what the server lost")
	require.NoError(t, d.Close())
}

func TestACopiedFileTakesANameOfItsOwn(t *testing.T) {
	t.Parallel()
	server := newBoat(t, dbtest.SQLite, noon)
	first := dbtest.SQLite(t)
	d, err := db.Open(ctx, first)
	require.NoError(t, err)
	boat1 := aboard(t, d, noon)
	boat1.report(t, 0, 20)
	boat1.call(t, server.url, whole)
	backup := first + ".backup"
	_, err = d.BackupFile(ctx, backup)
	require.NoError(t, err)
	copied := dbtest.Open(t, dbtest.SQLite)
	restore(t, copied, backup)
	boat2 := aboard(t, copied, noon)

	boat1.report(t, 100, 5)
	boat2.report(t, 200, 7)
	require.False(t, boat1.call(t, server.url, whole).Renamed)
	require.True(t, boat2.call(t, server.url, whole).Renamed)
	boat2.report(t, 300, 3)
	require.False(t, boat2.call(t, server.url, whole).Renamed)
	boat1.call(t, server.url, whole)
	require.Equal(t, server.hash(t), boat1.hash(t))
	require.Equal(t, server.hash(t), boat2.hash(t))
	rs, _, err := server.Reports(ctx, db.Filter{}, db.Cursor{}, 100)
	require.NoError(t, err)
	require.Len(t, rs, 35)
	require.NoError(t, d.Close())
}

func restore(t testing.TB, d *db.DB, file string) {
	t.Helper()
	f, err := os.Open(file)
	require.NoError(t, err)
	require.NoError(t, d.Restore(ctx, f))
	require.NoError(t, f.Close())
}
