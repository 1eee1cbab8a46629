package dbtest_test

import (
	"fmt"
	"os"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"hardtack/db"
	"hardtack/db/dbtest"
	"hardtack/pricing"
	"hardtack/pricing/measure"
	"hardtack/pricing/money"
)

// brought are reports as boats bring them: 40 of a boat at a time, ports and
// items drawn so that some are common.
func brought(first, n int) []pricing.Report {
	out := make([]pricing.Report, n)
	for i := range out {
		k := uint64(first+i) * 0x9E3779B97F4A7C15
		port, item := k>>33%50*(k>>40%50), k>>20%20*(k>>27%200)
		out[i] = pricing.Report{
			ID: fmt.Sprintf("%08x-0000-4000-8000-%012x", uint32(k>>32), first+i), Port: pricing.PortID(fmt.Sprintf("P%04d", port)), Item: pricing.ItemID(fmt.Sprint("item_", item)),
			Day: day("2026-06-01"), Found: pricing.FoundYes, Paid: money.Amount{Minor: int64(100 + k%900), Currency: "EUR"}, Pack: measure.Of(1),
			Shop: "market hall", Reporter: fmt.Sprint("r", (first+i)/4000), Source: pricing.Receipt, Quality: 4, Note: "",
		}
	}
	return out
}

// timed is the median and the hundredth worst of repeats.
func timed(t *testing.T, repeats int, f func() error) (median, worst time.Duration) {
	t.Helper()
	all := make([]time.Duration, repeats)
	for i := range all {
		begin := time.Now()
		require.NoError(t, f())
		all[i] = time.Since(begin)
	}
	slices.Sort(all)
	return all[repeats/2], all[repeats*99/100]
}

// What one PostgreSQL that syncs its disk takes and gives at a size, and what
// each report takes of its disk: the capacity table of DEVELOPERS.md follows
// from these. Most of it is poured in; a tenth, at most 100,000, comes in pages
// as boats bring them. CAPACITY_REPORTS is another size: 10 million take some
// 12 GB of disk.
func TestCapacity(t *testing.T) {
	server := dbtest.NewServer(t, "shared_buffers=512MB", "max_wal_size=1GB", "maintenance_work_mem=256MB")
	_, err := db.Migrate(ctx, server.URL())
	require.NoError(t, err)
	d := dbtest.Reopen(t, server.URL())
	size := dbtest.Rounds(t, 20_000, 1_000_000)
	if n, err := strconv.Atoi(os.Getenv("CAPACITY_REPORTS")); err == nil {
		size = n
	}
	const months, batch = 24, 1000
	paged := min(size/10, 100_000)
	begin := time.Now()
	poured(t, server, size-paged, months)
	t.Logf("%d reports poured in within %.0f s", size-paged, time.Since(begin).Seconds())
	before := sizes(t, server)

	received(t, d, "2026-01-05T00:00:00Z")
	load := time.Duration(0)
	for n := 0; n < paged; n += batch {
		rs := brought(n, batch)
		records := make([]db.Record, batch)
		for i, r := range rs {
			records[i] = db.Record{Report: r, Source: "s" + r.Reporter, Number: int64(n+i)%4000 + 1}
		}
		begin := time.Now()
		done, err := d.TakeRecords(ctx, records, db.Arrival{Carrier: "boat", Last: day("2027-01-01")})
		require.NoError(t, err)
		require.Equal(t, batch, done.New)
		load += time.Since(begin)
	}
	after := sizes(t, server)
	server.Tell("ANALYZE")
	next := paged
	one, oneWorst := timed(t, 50, func() error {
		next++
		_, err := d.AddReports(ctx, brought(next, 1))
		return err
	})
	visit, visitWorst := timed(t, 30, func() error {
		next += 40
		_, err := d.AddReports(ctx, brought(next, 40))
		return err
	})
	feed, feedWorst := timed(t, 50, func() error {
		_, err := d.Records(ctx, db.Feed{}, db.Mark{Seq: int64(size / batch / 2)}, 1500)
		return err
	})
	looks := lookedInto(t, d)
	bytes := func(of, by map[string]int64, n int) string {
		return fmt.Sprintf("months %d, ids %d, records %d", (of["months"]-by["months"])/int64(n), (of["ids"]-by["ids"])/int64(n), (of["records"]-by["records"])/int64(n))
	}
	dbtest.Figure(t, "Crowd", fmt.Sprintf("PostgreSQL with %d reports in %d months, fsync on", size, months+1), strings.Join([]string{
		"brought in pages of 1000: %.0f reports/s", "one report %.1f ms (p99 %.1f)", "a visit of 40 reports %.1f ms (p99 %.1f)",
		"a feed page of 1500 %.0f ms (p99 %.0f)", "%s", "bytes a report, all: %s; of those in pages: %s; BRIN of all months %d bytes",
	}, "; "), float64(paged)/load.Seconds(), ms(one), ms(oneWorst), ms(visit), ms(visitWorst), ms(feed), ms(feedWorst), looks,
		bytes(after, nil, size), bytes(after, before, paged), after["brin"])
}

// lookedInto is how long it takes to look for what is to be told: the first
// time, when all waits and nothing was looked at; the last month, once it is
// over; and when nothing is due, as nearly always.
func lookedInto(t *testing.T, d *db.DB) string {
	t.Helper()
	const rule = "drill"
	look := func(today string) (pools []db.Pool, waiting int, took time.Duration) {
		begin := time.Now()
		pools, err := d.Pools(ctx, day(today), rule)
		require.NoError(t, err)
		require.NoError(t, d.EachUntold(ctx, pools, func(db.Untold) error { waiting++; return nil }))
		return pools, waiting, time.Since(begin)
	}
	all, waiting, first := look("2026-01-08")
	looks := make([]db.Look, len(all))
	for i, p := range all {
		looks[i] = db.Look{Pool: p, Next: day("2028-01-01"), Rule: rule}
		if p.Month == day("2025-12-01") {
			looks[i].Next = day("2026-01-08")
		}
	}
	begin := time.Now()
	_, _, err := d.Publish(ctx, nil, looks, func(int64) string { return "" })
	require.NoError(t, err)
	marked := time.Since(begin)
	due, ofMonth, month := look("2026-01-08")
	quiet, _ := timed(t, 50, func() error { _, _, _ = look("2026-01-07"); return nil })
	return fmt.Sprintf("a look into all %d that wait in %d pools %.1f s, marking the pools %.1f s; into the %d of the %d pools of a month %.1f s; when nothing is due %.1f ms",
		waiting, len(all), first.Seconds(), marked.Seconds(), ofMonth, len(due), month.Seconds(), ms(quiet))
}

// sizes are the bytes on disk of what grows with reports.
func sizes(t *testing.T, s *dbtest.Server) map[string]int64 {
	t.Helper()
	out := map[string]int64{}
	for name, text := range map[string]string{
		"months":  `SELECT SUM(pg_total_relation_size(oid))::TEXT FROM pg_class WHERE relkind = 'r' AND relname ~ '^report_[0-9]+_[0-9]+$'`,
		"ids":     `SELECT pg_total_relation_size('report_key')::TEXT`,
		"records": `SELECT pg_total_relation_size('record')::TEXT`,
		"brin":    `SELECT SUM(pg_relation_size(oid))::TEXT FROM pg_class WHERE relname ~ '^report_.*received_ms_idx[0-9]*$'`,
	} {
		n, err := strconv.ParseInt(s.Ask(text), 10, 64)
		require.NoError(t, err)
		out[name] = n
	}
	return out
}

func ms(d time.Duration) float64 { return float64(d.Microseconds()) / 1000 }
