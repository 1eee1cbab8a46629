package rest_test

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"net/http"
	"net/http/httptest"
	"os"
	"slices"
	"strconv"
	"testing"
	"time"

	"github.com/jackc/pgx/v5"
	"github.com/stretchr/testify/require"

	"hardtack/api"
	"hardtack/api/access"
	"hardtack/api/public"
	"hardtack/api/rest"
	"hardtack/db/dbtest"
	"hardtack/pricing"
	"hardtack/pricing/calendar"
	"hardtack/pricing/measure"
)

// sharedBench is a shared server on PostgreSQL, with an account's key.
type sharedBench struct {
	svc    *api.Service
	world  *api.World
	url    string // of the database
	server *httptest.Server
	key    string
	now    time.Time
}

func newSharedBench(b *testing.B, many int) *sharedBench {
	b.Helper()
	w, err := world()
	require.NoError(b, err)
	s := &sharedBench{world: w, url: dbtest.Migrated(b, dbtest.Postgres), now: noon}
	s.svc = api.New(dbtest.Reopen(b, s.url), w, api.Options{Now: func() time.Time { return s.now }, Public: true, Many: many})
	done, err := s.svc.AddAccount(b.Context(), api.Applicant{Name: "boat", Role: access.Boat})
	require.NoError(b, err)
	s.key = done.Key
	wide := access.Limit{Per: 1e6, Burst: 1e6} // how often one may ask is not what is measured
	s.server = httptest.NewServer(rest.New(s.svc, rest.Options{Shared: &rest.Shared{PerKey: wide, PerAddress: wide}}))
	b.Cleanup(s.server.Close)
	return s
}

// raw is a connection to the same database, as anybody's program has one.
func (s *sharedBench) raw(b *testing.B) *pgx.Conn {
	b.Helper()
	c, err := pgx.Connect(b.Context(), s.url)
	require.NoError(b, err)
	b.Cleanup(func() { _ = c.Close(context.Background()) })
	return c
}

func reportsOr(n int, name string) int {
	if k, err := strconv.Atoi(os.Getenv(name)); err == nil {
		return k
	}
	return n
}

// BenchmarkSharedBatches takes reports in over HTTP on a shared server on
// PostgreSQL, a thousand a call, with the key of an account and every check, and
// beside it, in turn, copies as many raw into the same tables of a database of
// its own, indexes and all, a transaction for each thousand.
//
//	.ci/postgres go test ./api/rest -run '^$' -bench SharedBatches -benchtime 1x -timeout 60m
//
// BATCH_REPORTS says how many; 100,000 otherwise.
func BenchmarkSharedBatches(b *testing.B) {
	const size = 1000
	s := newSharedBench(b, 1<<30)
	ports := s.world.Ports.All()
	items := slices.DeleteFunc(slices.Clone(s.world.Catalogue.Order), func(i pricing.ItemID) bool { return s.world.Catalogue.Items[i].Unit != measure.Kilogram })
	other := &sharedBench{url: dbtest.Migrated(b, dbtest.Postgres)}
	c := other.raw(b)
	for range b.N {
		var checked, raw time.Duration
		rows := reportsOr(100_000, "BATCH_REPORTS")
		for n := 0; n < rows; n += size {
			var all []object
			for k := n; k < n+size; k++ {
				all = append(all, object{
					"id": fmt.Sprintf("00000000-0000-4000-8000-%012d", k), "port": ports[k*31%200].ID, "item": items[k%len(items)], "day": calendar.Of(noon) - calendar.Day(1+k%700),
					"found": "yes", "amount": fmt.Sprintf("%d.50", 1+k%9), "currency": "EUR", "pack": "1 kg", "reporter": "r", "source": "receipt",
				})
			}
			body, err := json.Marshal(object{"reports": all})
			require.NoError(b, err)
			r, err := http.NewRequest(http.MethodPost, s.server.URL+"/v1/reports", bytes.NewReader(body))
			require.NoError(b, err)
			r.Header.Set("Authorization", "Bearer "+s.key)
			r.Header.Set("Content-Type", "application/json")
			checked += timed(func() {
				a, err := http.DefaultClient.Do(r)
				require.NoError(b, err)
				require.Equal(b, http.StatusCreated, a.StatusCode)
				require.NoError(b, a.Body.Close())
			})
			raw += timed(func() { copied(b, c, all, int64(n/size+1)) })
		}
		b.ReportMetric(float64(rows)/checked.Seconds(), "checked-rows/s")
		b.ReportMetric(float64(rows)/raw.Seconds(), "raw-rows/s")
		b.ReportMetric(raw.Seconds()/checked.Seconds(), "of-raw")
	}
}

func copied(b *testing.B, c *pgx.Conn, all []object, seq int64) {
	b.Helper()
	ctx, received := b.Context(), noon.UnixMilli()
	tx, err := c.Begin(ctx)
	require.NoError(b, err)
	_, err = tx.Exec(ctx, `SELECT report_month($1)`, received)
	require.NoError(b, err)
	_, err = tx.CopyFrom(ctx, pgx.Identifier{"report_key"}, []string{"id", "port", "received_ms"}, pgx.CopyFromSlice(len(all), func(k int) ([]any, error) {
		return []any{all[k]["id"], string(all[k]["port"].(pricing.PortID)), received}, nil
	}))
	require.NoError(b, err)
	_, err = tx.CopyFrom(ctx, pgx.Identifier{"report"}, []string{
		"id", "port", "item", "day", "found", "paid_minor", "currency", "pack", "shop", "reporter", "source", "quality", "origin", "note", "replaces", "seq", "received_ms",
	}, pgx.CopyFromSlice(len(all), func(k int) ([]any, error) {
		r := all[k]
		return []any{
			r["id"], string(r["port"].(pricing.PortID)), string(r["item"].(pricing.ItemID)), r["day"].(calendar.Day).String(), "yes", int64(150), "EUR", int64(1_000_000), "",
			r["reporter"], "receipt", int64(0), "", "", "", seq, received,
		}, nil
	}))
	require.NoError(b, err)
	require.NoError(b, tx.Commit(ctx))
}

// BenchmarkSharedAhead asks a shared server on PostgreSQL for 60 items at 40
// ports, with the key of an account, and beside it the same database by SQL on a
// connection of its own, prepared: a query that counts and sums what is told of
// each pair, and one that reads the sums of each pair from a table kept for that.
//
//	.ci/postgres go test ./api/rest -run '^$' -bench SharedAhead -benchtime 1x -timeout 60m
//
// AHEAD_REPORTS says how many reports; 200,000 otherwise.
func BenchmarkSharedAhead(b *testing.B) {
	s := newSharedBench(b, 20_000)
	s.now = noon.AddDate(0, -2, 0)
	fill(b, dbtest.Reopen(b, s.url), s.world, reportsOr(200_000, "AHEAD_REPORTS"))
	s.now = noon
	told, _, err := s.svc.Publish(b.Context(), public.Rule{Enough: 1})
	require.NoError(b, err)
	b.ReportMetric(float64(told), "told")
	ports, items := asked(s.world)
	c := s.raw(b)
	for _, text := range []string{
		`CREATE TABLE pair (port TEXT COLLATE "C", item TEXT COLLATE "C", n BIGINT, paid BIGINT, PRIMARY KEY (port, item) INCLUDE (n, paid))`,
		`INSERT INTO pair SELECT r.port, r.item, COUNT(*), SUM(published.paid_minor) FROM published JOIN report r ON r.id = published.report GROUP BY 1, 2`,
		`ANALYZE`, `VACUUM pair`,
	} {
		_, err := c.Exec(b.Context(), text)
		require.NoError(b, err)
	}
	over := asks(b, s.server.URL, ports, items, s.key)
	b.ReportMetric(timed(over).Seconds(), "s-first")
	for range b.N {
		took := map[string][]time.Duration{}
		for n := range 400 {
			for name, ask := range map[string]func(){
				"http": over,
				"sql": func() {
					pairsBySQL(b, c, ports, items, `SELECT r.port, r.item, COUNT(*), SUM(published.paid_minor)::BIGINT FROM report r JOIN published ON published.report = r.id
						WHERE r.port = ANY($1) AND r.item = ANY($2) GROUP BY 1, 2`)
				},
				"sums": func() {
					pairsBySQL(b, c, ports, items, `SELECT port, item, n, paid FROM pair WHERE port = ANY($1) AND item = ANY($2)`)
				},
			} {
				if name == "sql" && n%10 > 0 {
					continue
				}
				took[name] = append(took[name], timed(ask))
			}
		}
		tell(b, took)
	}
}

func pairsBySQL(b *testing.B, c *pgx.Conn, ports, items []string, text string) {
	b.Helper()
	rows, err := c.Query(b.Context(), text, ports, items) // prepared by the driver
	require.NoError(b, err)
	defer rows.Close()
	for rows.Next() {
		var port, item string
		var n, sum int64
		require.NoError(b, rows.Scan(&port, &item, &n, &sum))
	}
	require.NoError(b, rows.Err())
}
