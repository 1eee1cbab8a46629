package rest_test

import (
	"database/sql"
	"fmt"
	"io"
	"net/http"
	"net/http/httptest"
	"net/url"
	"slices"
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
// behind it, and beside it sums up the same pairs' reports by one query on the
// same database: what an answer without a model in memory has to do at least.
//
//	go test ./api/rest -run '^$' -bench Ahead -benchtime 1x
func BenchmarkAhead(b *testing.B) {
	const reports = 200_000
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
	over() // the first fits
	const times = 200
	for range b.N {
		var fast, slow []time.Duration
		for range times {
			start := time.Now()
			over()
			fast = append(fast, time.Since(start))
		}
		for range times {
			start := time.Now()
			bySQL(b, raw, ports, items)
			slow = append(slow, time.Since(start))
		}
		for name, x := range map[string][]time.Duration{"http": fast, "sql": slow} {
			slices.Sort(x)
			b.ReportMetric(float64(x[len(x)/2].Microseconds())/1000, "ms-"+name+"-p50")
			b.ReportMetric(float64(x[len(x)*99/100].Microseconds())/1000, "ms-"+name+"-p99")
		}
	}
}

// bySQL counts and sums the reports of all pairs in one query: less than any
// estimate needs.
func bySQL(b *testing.B, d *sql.DB, ports, items []string) {
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
	rows, err := d.Query(`SELECT port, item, COUNT(*), SUM(paid_minor) FROM report WHERE port IN (`+in(ports)+`) AND item IN (`+in(items)+`)
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
	for k := range n {
		rs = append(rs, pricing.Report{
			ID: fmt.Sprintf("00000000-0000-4000-8000-%012d", k), Port: all[k*31%200].ID, Item: w.Catalogue.Order[k%len(w.Catalogue.Order)],
			Day: calendar.Of(noon) - calendar.Day(1+k%700), Found: pricing.FoundYes, Paid: money.Amount{Minor: int64(100 + k%400), Currency: "EUR"},
			Pack: measure.One, Reporter: fmt.Sprint("r", k%500), Source: pricing.Receipt,
		})
	}
	_, err := d.AddReports(b.Context(), rs)
	require.NoError(b, err)
	for _, p := range all[:40] {
		ports = append(ports, string(p.ID))
	}
	for _, i := range w.Catalogue.Order[:60] {
		items = append(items, string(i))
	}
	return ports, items
}
