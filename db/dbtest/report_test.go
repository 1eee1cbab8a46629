package dbtest_test

import (
	"context"
	"fmt"
	"slices"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"hardtack/db"
	"hardtack/pricing"
	"hardtack/pricing/calendar"
	"hardtack/pricing/measure"
	"hardtack/pricing/money"
)

var ctx = context.Background()

func day(s string) calendar.Day {
	d, err := calendar.Parse(s)
	if err != nil {
		panic(err)
	}
	return d
}

func coffee(id string) pricing.Report {
	return pricing.Report{
		ID: id, Port: "PTHOR", Item: "coffee-ground", Day: day("2026-06-01"), Found: pricing.FoundYes,
		Paid: money.Amount{Minor: 449, Currency: "EUR"}, Pack: measure.Of(0.25),
		Shop: "by the church", Reporter: "r1", Source: pricing.Receipt, Quality: 4, Origin: "BR", Note: "São Jorge, 2 left",
	}
}

func add(t *testing.T, d *db.DB, rs ...pricing.Report) db.Added {
	t.Helper()
	done, err := d.AddReports(ctx, rs)
	require.NoError(t, err)
	return done
}

func all(t *testing.T, d *db.DB, f db.Filter) []string {
	t.Helper()
	var ids []string
	require.NoError(t, d.EachReport(ctx, f, func(r pricing.Report) error { ids = append(ids, r.ID); return nil }))
	return ids
}

func reportComesBack(t *testing.T, d *db.DB) {
	want := coffee("a")
	require.Equal(t, db.Added{New: 1}, add(t, d, want))
	got, err := d.Report(ctx, "a")
	require.NoError(t, err)
	require.Equal(t, want, got)
}

// text is any text both databases keep: UTF-8 without a zero byte.
func text() *rapid.Generator[string] {
	return rapid.String().Filter(func(s string) bool { return utf8.ValidString(s) && !strings.Contains(s, "\x00") })
}

func anyReport() *rapid.Generator[pricing.Report] {
	return rapid.Custom(func(r *rapid.T) pricing.Report {
		return pricing.Report{
			ID: rapid.StringMatching(`[0-9a-f]{32}`).Draw(r, "id"), Port: pricing.PortID(text().Draw(r, "port")), Item: pricing.ItemID(text().Draw(r, "item")),
			Day:   calendar.Day(rapid.Int32Range(1, 2_932_896).Draw(r, "day")), // to 9999-12-31
			Found: pricing.Found(text().Draw(r, "found")), Paid: money.Amount{Minor: rapid.Int64().Draw(r, "paid"), Currency: money.Currency(text().Draw(r, "currency"))},
			Pack: measure.Quantity(rapid.Int64().Draw(r, "pack")), Shop: text().Draw(r, "shop"), Reporter: text().Draw(r, "reporter"),
			Source: pricing.Source(text().Draw(r, "source")), Quality: rapid.IntRange(-1, 9).Draw(r, "quality"),
			Origin: text().Draw(r, "origin"), Note: text().Draw(r, "note"), Replaces: text().Draw(r, "replaces"),
		}
	})
}

func anyReportComesBack(t *testing.T, d *db.DB) {
	rapid.Check(t, func(r *rapid.T) {
		want := anyReport().Draw(r, "report")
		if _, err := d.Report(ctx, want.ID); err == nil {
			return
		}
		_, err := d.AddReports(ctx, []pricing.Report{want})
		require.NoError(r, err)
		got, err := d.Report(ctx, want.ID)
		require.NoError(r, err)
		require.Equal(r, want, got)
	})
}

func sameReportAgain(t *testing.T, d *db.DB) {
	add(t, d, coffee("a"))
	before, err := d.Change(ctx)
	require.NoError(t, err)
	require.Equal(t, db.Added{Same: 1}, add(t, d, coffee("a")))
	after, err := d.Change(ctx)
	require.NoError(t, err)
	require.Equal(t, before, after)
}

func takenID(t *testing.T, d *db.DB) {
	add(t, d, coffee("a"))
	other := coffee("a")
	other.Note = "another note"
	_, err := d.AddReports(ctx, []pricing.Report{coffee("b"), other})
	require.ErrorIs(t, err, db.ErrConflict)
	var clash *db.ConflictError
	require.ErrorAs(t, err, &clash)
	require.Equal(t, []string{"a"}, clash.IDs)
	require.Equal(t, []string{"a"}, all(t, d, db.Filter{}))
	got, err := d.Report(ctx, "a")
	require.NoError(t, err)
	require.Equal(t, coffee("a"), got)
}

func doublesInOneCall(t *testing.T, d *db.DB) {
	require.Equal(t, db.Added{New: 1}, add(t, d, coffee("a"), coffee("a")))
	other := coffee("b")
	other.Quality = 1
	_, err := d.AddReports(ctx, []pricing.Report{coffee("b"), other})
	require.ErrorIs(t, err, db.ErrConflict)
	require.Equal(t, []string{"a"}, all(t, d, db.Filter{}))
}

func missingReport(t *testing.T, d *db.DB) {
	_, err := d.Report(ctx, "nobody")
	require.ErrorIs(t, err, db.ErrNotFound)
	require.ErrorContains(t, err, `report "nobody"`)
}

func unkeepable(t *testing.T, d *db.DB) {
	for name, change := range map[string]func(*pricing.Report){
		"zero byte": func(r *pricing.Report) { r.Note = "a\x00b" },
		"not UTF-8": func(r *pricing.Report) { r.Shop = "\xff" },
		"no id":     func(r *pricing.Report) { r.ID = "" },
		"no day":    func(r *pricing.Report) { r.Day = 0 },
	} {
		r := coffee("a")
		change(&r)
		_, err := d.AddReports(ctx, []pricing.Report{coffee("b"), r})
		require.ErrorIs(t, err, db.ErrInvalid, name)
	}
	_, err := d.Put(ctx, db.KindVessel, "v", []byte("\"\x00\""), db.AnyRevision)
	require.ErrorIs(t, err, db.ErrInvalid)
	require.Empty(t, all(t, d, db.Filter{}))
}

// season is n reports over ports, items and days, three of a kind on each day.
func season(n int) []pricing.Report {
	rs := make([]pricing.Report, n)
	for i := range rs {
		r := coffee(fmt.Sprintf("id-%05d", (i*7919)%n)) // 7919 is prime: each id once
		r.Port = pricing.PortID(fmt.Sprintf("P%d", i%7))
		r.Item = pricing.ItemID(fmt.Sprintf("item-%d", i%5))
		r.Reporter = fmt.Sprintf("r%d", i%3)
		r.Day += calendar.Day(i / 3 % 90)
		rs[i] = r
	}
	return rs
}

func thousands(t *testing.T, d *db.DB) {
	const n = 5003 // no multiple of any batch
	before, err := d.Change(ctx)
	require.NoError(t, err)
	require.Equal(t, db.Added{New: n}, add(t, d, season(n)...))
	after, err := d.Change(ctx, db.KindReport)
	require.NoError(t, err)
	require.Equal(t, before+1, after)
	count, err := d.CountReports(ctx, db.Filter{})
	require.NoError(t, err)
	require.Equal(t, n, count)
	require.Equal(t, db.Added{Same: n}, add(t, d, season(n)...))
	found, err := d.ReportsByID(ctx, []string{"id-00001", "id-05002", "nobody"})
	require.NoError(t, err)
	require.Len(t, found, 2)
}

// walk pages to the end and gives all ids.
func walk(t *testing.T, d *db.DB, f db.Filter, limit int, between func()) []pricing.Report {
	t.Helper()
	var out []pricing.Report
	var at db.Cursor
	for {
		page, more, err := d.Page(ctx, f, at, limit)
		require.NoError(t, err)
		require.LessOrEqual(t, len(page), limit)
		out = append(out, page...)
		if !more {
			return out
		}
		last := page[len(page)-1]
		at = db.Cursor{Day: last.Day, ID: last.ID}
		if between != nil {
			between()
		}
	}
}

func newestFirst(a, b pricing.Report) int {
	if a.Day != b.Day {
		return int(b.Day - a.Day)
	}
	return strings.Compare(b.ID, a.ID)
}

func pages(t *testing.T, d *db.DB) {
	want := season(100)
	add(t, d, want...)
	slices.SortFunc(want, newestFirst)
	for _, limit := range []int{1, 7, 100, 1000} {
		require.Equal(t, want, walk(t, d, db.Filter{}, limit, nil), "limit %d", limit)
	}
}

func filters(t *testing.T, d *db.DB) {
	rs := season(300)
	add(t, d, rs...)
	for name, tt := range map[string]struct {
		filter db.Filter
		keep   func(pricing.Report) bool
	}{
		"port":     {db.Filter{Port: "P3"}, func(r pricing.Report) bool { return r.Port == "P3" }},
		"item":     {db.Filter{Item: "item-2"}, func(r pricing.Report) bool { return r.Item == "item-2" }},
		"reporter": {db.Filter{Reporter: "r1"}, func(r pricing.Report) bool { return r.Reporter == "r1" }},
		"since":    {db.Filter{Since: day("2026-07-01")}, func(r pricing.Report) bool { return r.Day >= day("2026-07-01") }},
		"all at once": {
			db.Filter{Port: "P3", Item: "item-2", Reporter: "r2", Since: day("2026-06-02")},
			func(r pricing.Report) bool {
				return r.Port == "P3" && r.Item == "item-2" && r.Reporter == "r2" && r.Day >= day("2026-06-02")
			},
		},
		"nobody": {db.Filter{Reporter: "x"}, func(pricing.Report) bool { return false }},
	} {
		var want []pricing.Report
		for _, r := range rs {
			if tt.keep(r) {
				want = append(want, r)
			}
		}
		slices.SortFunc(want, newestFirst)
		require.Equal(t, want, walk(t, d, tt.filter, 4, nil), name)
		n, err := d.CountReports(ctx, tt.filter)
		require.NoError(t, err)
		require.Equal(t, len(want), n, name)
	}
}

func standing(t *testing.T, d *db.DB) {
	right, gone := coffee("c"), coffee("d")
	right.Replaces = "a"
	gone.Replaces, gone.Found, gone.Paid, gone.Pack = "b", pricing.Withdrawn, money.Amount{}, 0
	add(t, d, coffee("a"), coffee("b"), coffee("e"), right, gone)
	require.ElementsMatch(t, []string{"c", "e"}, all(t, d, db.Filter{Standing: true}))
	require.Len(t, all(t, d, db.Filter{}), 5)
}

func addedWhilePaging(t *testing.T, d *db.DB) {
	want := season(60)
	add(t, d, want...)
	slices.SortFunc(want, newestFirst)
	n := 0
	got := walk(t, d, db.Filter{}, 7, func() {
		r := coffee(fmt.Sprintf("late-%d", n))
		r.Day = day("2027-01-01") // newer than all: before the cursor
		add(t, d, r)
		n++
	})
	require.Positive(t, n)
	require.Equal(t, want, got)
}
