package rest_test

import (
	"bytes"
	"database/sql"
	"encoding/json"
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
// AHEAD_REPORTS says how many reports; 200,000 otherwise. AHEAD_FILE names a
// database that has them already, from hardtack invent --known and hardtack
// import. The query on the reports themselves is asked every tenth time.
func BenchmarkAhead(b *testing.B) {
	reports := 200_000
	if n, err := strconv.Atoi(os.Getenv("AHEAD_REPORTS")); err == nil {
		reports = n
	}
	w, err := world()
	require.NoError(b, err)
	file, filled := os.LookupEnv("AHEAD_FILE")
	if !filled {
		file = dbtest.SQLite(b)
	}
	d := dbtest.Reopen(b, file)
	raw, err := sql.Open("sqlite", "file:"+file+"?_pragma=query_only(1)")
	require.NoError(b, err)
	defer raw.Close()
	svc := api.New(d, w, api.Options{Now: func() time.Time { return noon }, Many: 100_000})
	if !filled {
		fill(b, d, w, reports)
	}
	ports, items := asked(w)
	s := httptest.NewServer(rest.New(svc, rest.Options{}))
	defer s.Close()
	over := asks(b, s.URL, ports, items, "")
	work := dbtest.Processor()
	b.ReportMetric(timed(over).Seconds(), "s-first") // all reports are added up
	b.ReportMetric((dbtest.Processor() - work).Seconds(), "cpu-s-first")
	work = dbtest.Processor()
	again := httptest.NewServer(rest.New(api.New(d, w, api.Options{Now: func() time.Time { return noon }, Many: 100_000}), rest.Options{}))
	b.ReportMetric(timed(asks(b, again.URL, ports, items, "")).Seconds(), "s-started-again") // another one goes on from there
	b.ReportMetric((dbtest.Processor() - work).Seconds(), "cpu-s-started-again")
	again.Close()
	kept := sums(b, file)
	const times = 200
	for range b.N {
		took := map[string][]time.Duration{}
		for n := range times { // in turn: other programs on the machine disturb all alike
			for name, ask := range map[string]func(){
				"http": over, "sql": func() { bySQL(b, raw, "report", "COUNT(*), SUM(paid_minor)", ports, items) },
				"sums": func() { bySQL(b, kept, "pair", "SUM(n), SUM(paid)", ports, items) },
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

func timed(f func()) time.Duration {
	start := time.Now()
	f()
	return time.Since(start)
}

// tell reports the median and the hundredth worst of each.
func tell(b *testing.B, took map[string][]time.Duration) {
	b.Helper()
	for name, x := range took {
		slices.Sort(x)
		b.ReportMetric(float64(x[len(x)/2].Microseconds())/1000, "ms-"+name+"-p50")
		b.ReportMetric(float64(x[len(x)*99/100].Microseconds())/1000, "ms-"+name+"-p99")
	}
}

// asks asks a server for what it believes of every port and item, with a key
// unless it is empty.
func asks(b *testing.B, server string, ports, items []string, key string) func() {
	b.Helper()
	r, err := http.NewRequest(http.MethodGet, server+"/v1/estimates?"+url.Values{"port": ports, "item": items}.Encode(), nil)
	require.NoError(b, err)
	if key != "" {
		r.Header.Set("Authorization", "Bearer "+key)
	}
	return func() {
		a, err := http.DefaultClient.Do(r)
		require.NoError(b, err)
		require.Equal(b, http.StatusOK, a.StatusCode)
		_, err = io.Copy(io.Discard, a.Body)
		require.NoError(b, err)
		require.NoError(b, a.Body.Close())
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

// fill adds reports.
func fill(b *testing.B, d *db.DB, w *api.World, n int) {
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
}

// asked are 40 ports and 60 items that are asked about.
func asked(w *api.World) (ports, items []string) {
	for _, p := range w.Ports.All()[:40] {
		ports = append(ports, string(p.ID))
	}
	for _, i := range w.Catalogue.Order[:60] {
		items = append(items, string(i))
	}
	return ports, items
}

// BenchmarkBatches takes reports in over HTTP, a thousand a call, with every
// check, and beside it writes as many raw, by a prepared statement into the same
// table with its indexes, a transaction for each thousand.
//
//	go test ./api/rest -run '^$' -bench Batches -benchtime 1x
func BenchmarkBatches(b *testing.B) {
	const batches, size = 100, 1000
	w, err := world()
	require.NoError(b, err)
	ports := w.Ports.All()
	items := slices.DeleteFunc(slices.Clone(w.Catalogue.Order), func(i pricing.ItemID) bool { return w.Catalogue.Items[i].Unit != measure.Kilogram })
	entry := func(k int) object {
		return object{
			"id": fmt.Sprintf("00000000-0000-4000-8000-%012d", k), "port": ports[k*31%200].ID, "item": items[k%len(items)], "day": calendar.Of(noon) - calendar.Day(1+k%700),
			"found": "yes", "amount": fmt.Sprintf("%d.50", 1+k%9), "currency": "EUR", "pack": "1 kg", "reporter": fmt.Sprint("r", k%500), "source": "receipt",
		}
	}
	for range b.N {
		s := httptest.NewServer(rest.New(api.New(dbtest.Open(b, dbtest.SQLite), w, api.Options{Now: func() time.Time { return noon }}), rest.Options{}))
		var checked, raw time.Duration
		d := rawDB(b)
		for n := range batches {
			var all []object
			for k := range size {
				all = append(all, entry(n*size+k))
			}
			body, err := json.Marshal(object{"reports": all})
			require.NoError(b, err)
			start := time.Now()
			a, err := http.Post(s.URL+"/v1/reports", "application/json", bytes.NewReader(body))
			require.NoError(b, err)
			require.Equal(b, http.StatusCreated, a.StatusCode)
			require.NoError(b, a.Body.Close())
			checked += time.Since(start)
			start = time.Now()
			rawBatch(b, d, all)
			raw += time.Since(start)
		}
		s.Close()
		b.ReportMetric(batches*size/checked.Seconds(), "checked-rows/s")
		b.ReportMetric(batches*size/raw.Seconds(), "raw-rows/s")
		b.ReportMetric(raw.Seconds()/checked.Seconds(), "of-raw")
	}
}

func rawDB(b *testing.B) *sql.DB {
	b.Helper()
	file := dbtest.SQLite(b)
	require.NoError(b, dbtest.Reopen(b, file).Close())
	d, err := sql.Open("sqlite", "file:"+file+"?_pragma=synchronous(FULL)&_pragma=journal_mode(WAL)&_pragma=cache_size(-65536)")
	require.NoError(b, err)
	b.Cleanup(func() { _ = d.Close() })
	return d
}

func rawBatch(b *testing.B, d *sql.DB, all []object) {
	b.Helper()
	tx, err := d.Begin()
	require.NoError(b, err)
	stmt, err := tx.Prepare(`INSERT INTO report (id, port, item, day, found, paid_minor, currency, pack, shop, reporter, source, quality, origin,
		note, replaces, seq) VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11, $12, $13, $14, $15, $16)`)
	require.NoError(b, err)
	for _, r := range all {
		_, err := stmt.Exec(r["id"], string(r["port"].(pricing.PortID)), string(r["item"].(pricing.ItemID)), r["day"].(calendar.Day).String(), "yes", 150, "EUR", 1_000_000, "",
			r["reporter"], "receipt", 0, "", "", "", 1)
		require.NoError(b, err)
	}
	require.NoError(b, tx.Commit())
}
