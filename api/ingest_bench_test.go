package api_test

import (
	"bytes"
	"database/sql"
	"encoding/csv"
	"fmt"
	"os"
	"strconv"
	"testing"
	"time"

	"github.com/jackc/pgx/v5"
	"github.com/stretchr/testify/require"
	_ "modernc.org/sqlite"

	"hardtack/api"
	"hardtack/db/dbtest"
	"hardtack/pricing/dataset"
	"hardtack/seed"
)

// BenchmarkIngest takes a file of reports in with every check, and beside it
// writes the same rows raw, by a prepared statement into SQLite and by COPY
// into PostgreSQL: into the same table with its indexes, and into a bare one,
// the most the database can do.
//
//	.ci/postgres go test ./api -run '^$' -bench Ingest -benchtime 1x
//
// INGEST_ROWS says how many; 100,000 otherwise.
func BenchmarkIngest(b *testing.B) {
	b.Run("SQLite", func(b *testing.B) { ingest(b, dbtest.SQLite, rawInserts) })
	b.Run("PostgreSQL", func(b *testing.B) { ingest(b, dbtest.Postgres, rawCopy) })
}

func ingest(b *testing.B, e dbtest.Engine, raw func(*testing.B, [][]string, bool) time.Duration) {
	b.Helper()
	rows := 100_000
	if n, err := strconv.Atoi(os.Getenv("INGEST_ROWS")); err == nil {
		rows = n
	}
	w, err := api.LoadWorld(seed.FS)
	require.NoError(b, err)
	file, table := manyReports(b, w, rows)
	for range b.N {
		s := api.New(dbtest.Open(b, e), w, api.Options{Now: func() time.Time { return noonInJune }})
		start := time.Now()
		done, err := s.Import(b.Context(), bytes.NewReader(file), api.ImportOptions{File: "reports.csv"})
		require.NoError(b, err)
		require.Equal(b, rows, done.New)
		checked := time.Since(start)
		same, bare := raw(b, table, false), raw(b, table, true)
		b.ReportMetric(float64(rows)/checked.Seconds(), "checked-rows/s")
		b.ReportMetric(float64(rows)/same.Seconds(), "raw-rows/s")
		b.ReportMetric(same.Seconds()/checked.Seconds(), "of-raw")
		b.ReportMetric(float64(rows)/bare.Seconds(), "bare-rows/s")
		b.ReportMetric(bare.Seconds()/checked.Seconds(), "of-bare")
	}
}

var noonInJune = time.Date(2026, 6, 15, 12, 0, 0, 0, time.UTC)

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

// rawCopy writes the rows by COPY in the binary format, into the program's own
// tables, indexes and all, or into a bare one.
func rawCopy(b *testing.B, table [][]string, bare bool) time.Duration {
	b.Helper()
	u := dbtest.Migrated(b, dbtest.Postgres)
	ctx := b.Context()
	c, err := pgx.Connect(ctx, u)
	require.NoError(b, err)
	defer c.Close(ctx)
	received := noonInJune.UnixMilli()
	if bare {
		_, err = c.Exec(ctx, `CREATE TABLE bare (LIKE report); ALTER TABLE bare ADD PRIMARY KEY (id)`)
	} else {
		_, err = c.Exec(ctx, `SELECT report_month($1)`, received)
	}
	require.NoError(b, err)
	start := time.Now()
	tx, err := c.Begin(ctx)
	require.NoError(b, err)
	into := "bare"
	if !bare {
		into = "report"
		_, err = tx.CopyFrom(ctx, pgx.Identifier{"report_key"}, []string{"id", "port", "received_ms"},
			pgx.CopyFromSlice(len(table), func(k int) ([]any, error) { return []any{table[k][0], table[k][1], received}, nil }))
		require.NoError(b, err)
	}
	n, err := tx.CopyFrom(ctx, pgx.Identifier{into}, []string{
		"id", "port", "item", "day", "found", "paid_minor", "currency", "pack", "shop", "reporter", "source", "quality", "origin", "note", "replaces",
		"seq", "received_ms",
	}, pgx.CopyFromSlice(len(table), func(k int) ([]any, error) {
		r := table[k]
		return []any{
			r[0], r[1], r[2], r[3], r[4], int64(150), r[6], int64(1_000_000), r[8], r[9], r[10], int64(0), r[12], r[13], r[14], int64(1), received,
		}, nil
	}))
	require.NoError(b, err)
	require.Len(b, table, int(n))
	require.NoError(b, tx.Commit(ctx))
	return time.Since(start)
}
