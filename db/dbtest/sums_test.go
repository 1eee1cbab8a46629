package dbtest_test

import (
	"bytes"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"hardtack/db"
	"hardtack/pricing"
)

func sums(t *testing.T, d *db.DB) (out []string) {
	t.Helper()
	require.NoError(t, d.EachSums(ctx, func(p []byte) error { out = append(out, string(p)); return nil }))
	return out
}

// Sums take the place of those before; they are no change, and no part of a
// backup.
func sumsWhole(t *testing.T, d *db.DB) {
	add(t, d, coffee("a"))
	before, at := backup(t, d), change(t, d)
	require.NoError(t, d.PutSums(ctx, slices.Values([][]byte{{0, 255}, []byte("b"), []byte("c")})))
	require.Equal(t, []string{"\x00\xff", "b", "c"}, sums(t, d))
	require.NoError(t, d.PutSums(ctx, slices.Values([][]byte{[]byte("d")})))
	require.Equal(t, []string{"d"}, sums(t, d))
	require.ErrorIs(t, d.EachSums(ctx, func([]byte) error { return db.ErrFull }), db.ErrFull)
	require.Equal(t, at, change(t, d))
	require.True(t, bytes.Equal(before, backup(t, d)))
	require.NoError(t, d.PutSums(ctx, slices.Values([][]byte(nil))))
	require.Empty(t, sums(t, d))
}

// What a filter lets through does not depend on what came after its change.
func asOfAChange(t *testing.T, d *db.DB) {
	add(t, d, coffee("a"))
	add(t, d, coffee("b"))
	tell := func(ids ...string) int64 {
		t.Helper()
		var ps []db.Publication
		for _, id := range ids {
			ps = append(ps, db.Publication{Report: id, Day: day("2026-06-01")})
		}
		at := change(t, d)
		_, _, err := d.Publish(ctx, ps, nil, func(n int64) string { return recordID(int(n)) })
		require.NoError(t, err)
		require.Greater(t, change(t, d), at)
		return change(t, d)
	}
	first, second := tell("a"), tell("b")
	gone := coffee("gone")
	gone.Found, gone.Replaces = pricing.Withdrawn, "a"
	add(t, d, gone)
	back := tell()
	for _, tt := range []struct {
		f    db.Filter
		want []string
	}{
		{db.Filter{Published: true, Until: first}, []string{"a"}},
		{db.Filter{Published: true, Until: second}, []string{"a", "b"}},
		{db.Filter{Published: true, Until: back}, []string{"b"}},
		{db.Filter{Published: true, After: first, Until: second}, []string{"b"}},
		{db.Filter{Until: 1}, []string{"a"}},
		{db.Filter{After: 1, Until: 2}, []string{"b"}},
	} {
		require.Equal(t, tt.want, all(t, d, tt.f), tt.f)
	}
	for until, want := range map[int64]int{second: 0, back: 1} {
		n := 0
		require.NoError(t, d.EachTakenBack(ctx, second, until, func(pricing.Report) error { n++; return nil }))
		require.Equal(t, want, n)
	}
}
