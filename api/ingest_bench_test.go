package api_test

import (
	"bytes"
	"database/sql"
	"encoding/csv"
	"fmt"
	"strconv"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	_ "modernc.org/sqlite"

	"hardtack/api"
	"hardtack/db/dbtest"
	"hardtack/pricing/dataset"
	"hardtack/seed"
)

// BenchmarkIngest takes a file of reports in with every check, and beside it
// writes the same rows raw by a prepared statement: into the same table with
// its indexes, and into a bare one, the most the database can do.
//
//	go test ./api -run '^$' -bench Ingest -benchtime 1x
func BenchmarkIngest(b *testing.B) {
	const rows = 100_000
	w, err := api.LoadWorld(seed.FS)
	require.NoError(b, err)
	file, table := manyReports(b, w, rows)
	for range b.N {
		s := api.New(dbtest.Open(b, dbtest.SQLite), w, api.Options{Now: func() time.Time { return time.Date(2026, 6, 15, 12, 0, 0, 0, time.UTC) }})
		start := time.Now()
		done, err := s.Import(b.Context(), bytes.NewReader(file), api.ImportOptions{File: "reports.csv"})
		require.NoError(b, err)
		require.Equal(b, rows, done.New)
		checked := time.Since(start)
		raw, bare := rawInserts(b, table, false), rawInserts(b, table, true)
		b.ReportMetric(rows/checked.Seconds(), "checked-rows/s")
		b.ReportMetric(rows/raw.Seconds(), "raw-rows/s")
		b.ReportMetric(raw.Seconds()/checked.Seconds(), "of-raw")
		b.ReportMetric(rows/bare.Seconds(), "bare-rows/s")
	}
}

func manyReports(b *testing.B, w *api.World, rows int) ([]byte, [][]string) {
	b.Helper()
	ports := w.Ports.All()
	table := dataset.ReportRows(nil)
	for k := range rows {
		table = append(table, []string{
			fmt.Sprintf("00000000-0000-4000-8000-%012d", k), string(ports[k*7919%len(ports)].ID), string(w.Catalogue.Order[k%len(w.Catalogue.Order)]),
			fmt.Sprintf("2025-%02d-%02d", 1+k%12, 1+k%28), "yes", strconv.Itoa(1+k%9) + ".50", "EUR", "1", "market", "r" + strconv.Itoa(k%500),
			"receipt", "", "", "", "",
		})
	}
	var file bytes.Buffer
	require.NoError(b, csv.NewWriter(&file).WriteAll(table))
	return file.Bytes(), table[1:]
}

// rawInserts writes the rows by one prepared statement into the program's own
// table, indexes and all, or into a bare one.
func rawInserts(b *testing.B, table [][]string, bare bool) time.Duration {
	b.Helper()
	u := dbtest.SQLite(b)
	require.NoError(b, dbtest.Reopen(b, u).Close())
	d, err := sql.Open("sqlite", "file:"+u+"?_pragma=synchronous(FULL)&_pragma=journal_mode(WAL)&_pragma=cache_size(-65536)")
	require.NoError(b, err)
	defer d.Close()
	into := "report"
	if bare {
		into = "bare"
		_, err = d.Exec(`CREATE TABLE bare (id TEXT PRIMARY KEY, port TEXT, item TEXT, day TEXT, found TEXT, paid_minor INTEGER, currency TEXT,
			pack INTEGER, shop TEXT, reporter TEXT, source TEXT, quality INTEGER, origin TEXT, note TEXT, replaces TEXT, seq INTEGER)`)
		require.NoError(b, err)
	}
	start := time.Now()
	tx, err := d.Begin()
	require.NoError(b, err)
	stmt, err := tx.Prepare(`INSERT INTO ` + into + ` (id, port, item, day, found, paid_minor, currency, pack, shop, reporter, source, quality, origin,
		note, replaces, seq) VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11, $12, $13, $14, $15, $16)`)
	require.NoError(b, err)
	for _, r := range table {
		_, err := stmt.Exec(r[0], r[1], r[2], r[3], r[4], 150, r[6], 1_000_000, r[8], r[9], r[10], 0, r[12], r[13], r[14], 1)
		require.NoError(b, err)
	}
	require.NoError(b, tx.Commit())
	return time.Since(start)
}
