package dbtest_test

import (
	"bytes"
	"context"
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"

	"hardtack/db"
	"hardtack/db/dbtest"
	"hardtack/pricing"
)

// pools are the pools worth a look on a day, as text.
func pools(t *testing.T, d *db.DB, on string, rules ...string) []string {
	t.Helper()
	ps, err := d.Pools(ctx, day(on), rules...)
	require.NoError(t, err)
	out := []string{}
	for _, p := range ps {
		out = append(out, fmt.Sprint(p.Port, " ", p.Month))
	}
	return out
}

func on(r pricing.Report, at string) pricing.Report {
	r.Day = day(at)
	return r
}

// A report is in the pool of its day or of its arrival, whichever is later, and
// each pool gives those that are in it, once.
func waitingByPool(t *testing.T, d *db.DB) {
	received(t, d, "2026-06-30T23:59:59.999Z")
	away := on(coffee("away"), "2026-06-03")
	away.Port = "ESLPA"
	gone := on(coffee("gone"), "2026-06-29")
	gone.Found, gone.Replaces = pricing.Withdrawn, "said elsewhere"
	add(t, d, on(coffee("june"), "2026-06-30"), on(coffee("may"), "2026-05-31"), on(coffee("ahead"), "2026-07-01"), away, gone)
	received(t, d, "2026-07-01T00:00:00Z")
	add(t, d, on(coffee("july"), "2026-07-01"), on(coffee("late"), "2026-06-30"))
	require.Equal(t, []string{}, pools(t, d, "2026-06-30"), "no month is over")
	require.Equal(t, []string{"ESLPA 2026-06-01", "PTHOR 2026-06-01"}, pools(t, d, "2026-07-01"))
	all, err := d.Pools(ctx, day("2026-08-01"))
	require.NoError(t, err)
	require.Equal(t, []string{"ESLPA 2026-06-01", "PTHOR 2026-06-01", "PTHOR 2026-07-01"}, pools(t, d, "2026-08-01"))
	for i, want := range [][]string{{"away"}, {"june", "may"}, {"ahead", "july", "late"}} {
		var got []string
		require.NoError(t, d.EachUntold(ctx, all[i:i+1], func(u db.Untold) error {
			require.Equal(t, all[i].Month, u.Pool)
			got = append(got, u.ID)
			return nil
		}))
		require.ElementsMatch(t, want, got)
	}
	add(t, d, on(coffee("long ago"), "2026-01-01"))
	require.Equal(t, []string{"PTHOR 2026-07-01"}, pools(t, d, "2026-07-01")[1:][1:], "what is old already has nothing to do with the month")
}

func lookedAtLater(t *testing.T, d *db.DB) {
	received(t, d, "2026-06-15T00:00:00Z")
	add(t, d, on(coffee("a"), "2026-06-15"), on(coffee("b"), "2026-06-15"))
	const june = "PTHOR 2026-06-01"
	look := func(l db.Look, ps ...db.Publication) {
		t.Helper()
		_, _, err := d.Publish(ctx, ps, []db.Look{l}, func(n int64) string { return recordID(int(n)) })
		require.NoError(t, err)
	}
	first := func() db.Pool {
		t.Helper()
		ps, err := d.Pools(ctx, day("2999-01-01"))
		require.NoError(t, err)
		return ps[0]
	}
	look(db.Look{Pool: first(), Next: day("2028-01-02"), Rule: "three"})
	for on, want := range map[string][]string{"2028-01-01": {}, "2028-01-02": {june}} {
		require.Equal(t, want, pools(t, d, on, "three"))
		require.Equal(t, []string{june}, pools(t, d, on, "four"), "another rule")
	}
	old := first()
	add(t, d, on(coffee("c"), "2026-06-15"))
	require.Equal(t, []string{june}, pools(t, d, "2026-07-01", "three"), "something came")
	look(db.Look{Pool: old, Next: day("2028-01-02"), Rule: "three"})
	look(db.Look{Pool: old, Empty: true})
	require.Equal(t, []string{june}, pools(t, d, "2026-07-01", "three"), "it came while one looked")

	look(db.Look{Pool: first(), Empty: true})
	require.Empty(t, pools(t, d, "2999-01-01"))
	require.NoError(t, d.Judge(ctx, "m", "a", db.LeaveOut))
	require.NoError(t, d.Judge(ctx, "m", "a", db.Keep))
	require.Equal(t, []string{june}, pools(t, d, "2026-06-15"), "it waits again")

	due, now := []db.Publication{{Report: "a", Day: day("2026-06-01")}, {Report: "b", Day: day("2026-06-01")}}, first()
	gone := on(coffee("gone"), "2026-06-15")
	gone.Found, gone.Replaces = pricing.Withdrawn, "a"
	add(t, d, gone)
	look(db.Look{Pool: now, Empty: true}, due...)
	require.Equal(t, []string{"b"}, all(t, d, db.Filter{Published: true}), "withdrawn while one looked")
	require.Equal(t, []string{june}, pools(t, d, "2026-06-15"), "looked at anew")
}

// Pools follow from reports: a database made from a backup or saved from a
// damaged file has them, all to be looked at.
func TestPoolsOfARestoredDatabase(t *testing.T) {
	onBoth(t, func(t *testing.T, e dbtest.Engine) {
		d := dbtest.Open(t, e)
		received(t, d, "2026-06-15T00:00:00Z")
		add(t, d, on(coffee("a"), "2026-06-15"), on(coffee("b"), "2026-05-15"))
		into := dbtest.Open(t, e)
		require.NoError(t, into.Restore(ctx, bytes.NewReader(backup(t, d))))
		require.Equal(t, []string{"PTHOR 2026-06-01"}, pools(t, into, "2026-06-01"))
	})
	at, into := dbtest.SQLite(t), dbtest.SQLite(t)
	d := dbtest.Reopen(t, at)
	add(t, d, coffee("a"))
	_, err := db.Recover(context.Background(), at, into)
	require.NoError(t, err)
	require.Len(t, pools(t, dbtest.Reopen(t, into), "2999-01-01"), 1)
}
