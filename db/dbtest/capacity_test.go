package dbtest_test

import (
	"fmt"
	"slices"
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
// from these.
func TestCapacity(t *testing.T) {
	server := dbtest.NewServer(t, "shared_buffers=512MB", "max_wal_size=4GB")
	_, err := db.Migrate(ctx, server.URL())
	require.NoError(t, err)
	d := dbtest.Reopen(t, server.URL())
	size := dbtest.Rounds(t, 20_000, 1_000_000)
	const months, batch = 12, 1000
	load := time.Duration(0)
	for n := 0; n < size; n += batch {
		received(t, d, fmt.Sprintf("2025-%02d-15T00:00:00Z", 1+n*months/size))
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
	server.Tell("ANALYZE")
	received(t, d, "2026-01-05T00:00:00Z")
	next := size
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
	begin := time.Now()
	untold := 0
	pools, err := d.Pools(ctx, day("2999-01-01"))
	require.NoError(t, err)
	require.NoError(t, d.EachUntold(ctx, pools, func(db.Untold) error { untold++; return nil }))
	publish := time.Since(begin)
	require.Greater(t, untold, size)

	bytes := func(like string) string {
		return server.Ask(`SELECT (SUM(pg_total_relation_size(oid)) / ` + fmt.Sprint(size) + `)::BIGINT::TEXT FROM pg_class WHERE relkind = 'r' AND relname ~ '^` + like + `$'`)
	}
	brin := server.Ask(`SELECT SUM(pg_relation_size(oid))::TEXT FROM pg_class WHERE relname ~ '^report_.*received_ms_idx$'`)
	dbtest.Figure(t, "Crowd", fmt.Sprintf("PostgreSQL with %d reports in %d months, fsync on", size, months), strings.Join([]string{
		"brought in pages of 1000: %.0f reports/s", "one report %.1f ms (p99 %.1f)", "a visit of 40 reports %.1f ms (p99 %.1f)",
		"a feed page of 1500 %.0f ms (p99 %.0f)", "all not told yet %.1f s", "bytes a report: months %s, ids %s, records %s; BRIN of all months %s bytes",
	}, "; "), float64(size)/load.Seconds(), ms(one), ms(oneWorst), ms(visit), ms(visitWorst), ms(feed), ms(feedWorst), publish.Seconds(),
		bytes("report_[0-9]+_[0-9]+"), bytes("report_key"), bytes("record"), brin)
}

func ms(d time.Duration) float64 { return float64(d.Microseconds()) / 1000 }
