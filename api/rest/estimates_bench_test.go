package rest_test

import (
	"database/sql"
	"fmt"
	"io"
	"net/http"
	"net/http/httptest"
	"net/url"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"hardtack/api"
	"hardtack/api/rest"
	"hardtack/db"
	"hardtack/db/dbtest"
	"hardtack/pricing"
	"hardtack/pricing/calendar"
	"hardtack/pricing/measure"
	"hardtack/pricing/money"
)

// BenchmarkAhead asks for 60 items at 40 ports over HTTP, with many reports
// behind it, and beside it the same database by SQL: one query that counts and
// sums the pairs' reports, what an answer without a model in memory has to do at
// least; and one that reads the sums of each pair from a table kept for that by
// its primary key, the tightest there can be.
//
//	go test ./api/rest -run '^$' -bench Ahead -benchtime 1x -timeout 60m
//
// AHEAD_REPORTS says how many reports; 200,000 otherwise.
func BenchmarkAhead(b *testing.B) {
	reports := 200_000
	if n, err := strconv.Atoi(os.Getenv("AHEAD_REPORTS")); err == nil {
		reports = n
	}
	w, err := world()
	require.NoError(b, err)
	file := dbtest.SQLite(b)
	d := dbtest.Reopen(b, file)
	raw, err := sql.Open("sqlite", "file:"+file+"?_pragma=query_only(1)")
	require.NoError(b, err)
	defer raw.Close()
	svc := api.New(d, w, api.Options{Now: func() time.Time { return noon }, Many: 100_000})
	ports, items := fill(b, d, w, reports)
	s := httptest.NewServer(rest.New(svc, rest.Options{}))
	defer s.Close()
	ask := s.URL + "/v1/estimates?" + url.Values{"port": ports, "item": items}.Encode()
	over := func() {
		a, err := http.Get(ask)
		require.NoError(b, err)
		require.Equal(b, http.StatusOK, a.StatusCode)
		_, err = io.Copy(io.Discard, a.Body)
		require.NoError(b, err)
		require.NoError(b, a.Body.Close())
	}
	start := time.Now()
	over() // the first fits
	b.ReportMetric(time.Since(start).Seconds(), "s-first")
	kept := sums(b, file)
	const times = 200
	for range b.N {
		took := map[string][]time.Duration{}
		for range times { // in turn: other programs on the machine disturb all alike
			for name, ask := range map[string]func(){
				"http": over, "sql": func() { bySQL(b, raw, "report", "COUNT(*), SUM(paid_minor)", ports, items) },
				"sums": func() { bySQL(b, kept, "pair", "SUM(n), SUM(paid)", ports, items) },
			} {
				start := time.Now()
				ask()
				took[name] = append(took[name], time.Since(start))
			}
		}
		for name, x := range took {
			slices.Sort(x)
			b.ReportMetric(float64(x[len(x)/2].Microseconds())/1000, "ms-"+name+"-p50")
			b.ReportMetric(float64(x[len(x)*99/100].Microseconds())/1000, "ms-"+name+"-p99")
		}
	}
}

// sums keeps the sums of every pair in a file of their own, the primary key in
// the table itself.
func sums(b *testing.B, file string) *sql.DB {
	b.Helper()
	d, err := sql.Open("sqlite", "file:"+filepath.Join(b.TempDir(), "sums.db"))
	require.NoError(b, err)
	b.Cleanup(func() { _ = d.Close() })
	d.SetMaxOpenConns(1)
	for _, text := range []string{
		`ATTACH '` + file + `' AS whole`,
		`CREATE TABLE pair (port TEXT, item TEXT, n INTEGER, paid INTEGER, PRIMARY KEY (port, item)) WITHOUT ROWID`,
		`INSERT INTO pair SELECT port, item, COUNT(*), SUM(paid_minor) FROM whole.report GROUP BY port, item`,
		`DETACH whole`,
	} {
		_, err := d.Exec(text)
		require.NoError(b, err)
	}
	return d
}

// bySQL reads two sums of all pairs in one query: less than any estimate needs.
func bySQL(b *testing.B, d *sql.DB, from, what string, ports, items []string) {
	b.Helper()
	var args []any
	in := func(names []string) string {
		var places []string
		for _, n := range names {
			args = append(args, n)
			places = append(places, fmt.Sprint("$", len(args)))
		}
		return strings.Join(places, ",")
	}
	rows, err := d.Query(`SELECT port, item, `+what+` FROM `+from+` WHERE port IN (`+in(ports)+`) AND item IN (`+in(items)+`)
		GROUP BY port, item`, args...)
	require.NoError(b, err)
	defer rows.Close()
	for rows.Next() {
		var port, item string
		var n, sum int64
		require.NoError(b, rows.Scan(&port, &item, &n, &sum))
	}
	require.NoError(b, rows.Err())
}

// fill adds reports, and gives 40 ports and 60 items they are of.
func fill(b *testing.B, d *db.DB, w *api.World, n int) (ports, items []string) {
	b.Helper()
	all := w.Ports.All()
	var rs []pricing.Report
	write := func() {
		_, err := d.AddReports(b.Context(), rs)
		require.NoError(b, err)
		rs = rs[:0]
	}
	for k := range n {
		if len(rs) == 100_000 {
			write()
		}
		rs = append(rs, pricing.Report{
			ID: fmt.Sprintf("00000000-0000-4000-8000-%012d", k), Port: all[k*31%200].ID, Item: w.Catalogue.Order[k%len(w.Catalogue.Order)],
			Day: calendar.Of(noon) - calendar.Day(1+k%700), Found: pricing.FoundYes, Paid: money.Amount{Minor: int64(100 + k%400), Currency: "EUR"},
			Pack: measure.One, Reporter: fmt.Sprint("r", k%500), Source: pricing.Receipt,
		})
	}
	write()
	for _, p := range all[:40] {
		ports = append(ports, string(p.ID))
	}
	for _, i := range w.Catalogue.Order[:60] {
		items = append(items, string(i))
	}
	return ports, items
}
