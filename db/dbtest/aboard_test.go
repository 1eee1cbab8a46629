package dbtest_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"hardtack/db"
	"hardtack/pricing/measure"
	"hardtack/pricing/money"
	"hardtack/route/inventory"
	"hardtack/route/inventory/usage"
	"hardtack/route/logbook"
	"hardtack/route/vessel"
)

func lockers() []vessel.Locker {
	warm := 27.25
	return []vessel.Locker{
		{ID: "under the stove", Space: "saloon", Litres: 40.5, MaxKg: 20, Hot: true, Side: vessel.Port, TempC: &warm, ReadOn: "2026-06-01"},
		{ID: "é bilge", Space: "bilge", Wet: true, Low: true, Sealed: true, AtSea: true},
	}
}

func lockersComeBack(t *testing.T, d *db.DB) {
	got, revision, err := d.Lockers(ctx, "v")
	require.NoError(t, err)
	require.Empty(t, got)
	require.Equal(t, db.Absent, revision)
	first, err := d.SetLockers(ctx, "v", lockers(), db.Absent)
	require.NoError(t, err)
	again, err := d.SetLockers(ctx, "v", lockers(), db.Absent)
	require.NoError(t, err)
	require.Equal(t, first, again)
	_, err = d.SetLockers(ctx, "v", lockers()[:1], first+1)
	require.ErrorIs(t, err, db.ErrStale)
	got, revision, err = d.Lockers(ctx, "v")
	require.NoError(t, err)
	require.Equal(t, lockers(), got)
	require.Equal(t, first, revision)
	_, err = d.SetLockers(ctx, "v", nil, first)
	require.NoError(t, err)
	got, _, err = d.Lockers(ctx, "v")
	require.NoError(t, err)
	require.Empty(t, got)
	_, err = d.SetLockers(ctx, "v", []vessel.Locker{{ID: "\x00"}}, db.AnyRevision)
	require.ErrorIs(t, err, db.ErrInvalid)
}

// booking is n lots and one of everything that explains them.
func booking(n int) db.Booking {
	all := lots(n)
	all[0].Locker, all[0].Pack, all[0].Port, all[0].Opened, all[0].For = "é bilge", measure.Of(0.5), "PTHOR", day("2026-06-03"), inventory.Barter
	return db.Booking{
		Lots: all, Day: day("2026-06-05"),
		Moves: []inventory.Move{
			{
				ID: "m2", Day: day("2026-06-05"), Kind: inventory.Bought, Lot: "l1", Item: "rice_white", Quantity: measure.One,
				To: "é bilge", Port: "PTHOR", Paid: money.Amount{Minor: 219, Currency: "EUR"}, For: inventory.Barter,
			},
			{
				ID: "m1", Day: day("2026-06-04"), Kind: inventory.Given, Lot: "l1", Item: "rice_white", Quantity: 1, From: "bilge",
				Party: "a neighbour", Loan: true, Cause: inventory.Rot, Note: "for eggs",
			},
		},
		Count: []inventory.Difference{{Item: "rice_white", Book: 5, Counted: 3, Spoilt: 1, Used: 1, Found: 0, Missing: 2, Mark: inventory.RanOut}},
		Usage: []usage.Record{{
			Crew: "c", Need: "rice", From: day("2026-05-01"), To: day("2026-06-05"), PersonDays: 70.125, Used: 2.0 / 3, RanOut: true, Guessed: true,
		}},
	}
}

func bookingWhole(t *testing.T, d *db.DB) {
	want := booking(3)
	first, err := d.Book(ctx, "v", want, db.Absent)
	require.NoError(t, err)
	require.EqualValues(t, 1, change(t, d))
	got, revision, err := d.Lots(ctx, "v")
	require.NoError(t, err)
	require.Equal(t, want.Lots, got)
	require.Equal(t, first, revision)

	moves, err := d.Moves(ctx, "v", 0, 0)
	require.NoError(t, err)
	require.Equal(t, want.Moves, moves, "in the order they were written")
	moves, err = d.Moves(ctx, "v", day("2026-06-05"), day("2026-06-05"))
	require.NoError(t, err)
	require.Equal(t, want.Moves[:1], moves)
	counts, err := d.Counts(ctx, "v")
	require.NoError(t, err)
	require.Equal(t, []db.Counted{{Seq: first, Day: want.Day, Lines: want.Count}}, counts)
	records, err := d.Usage(ctx, "v", "c")
	require.NoError(t, err)
	require.Equal(t, want.Usage, records, "to the last bit")

	want.Usage[0].Used, want.Moves, want.Count = 0.25, nil, nil // counted again on the same day
	_, err = d.Book(ctx, "v", want, first)
	require.NoError(t, err)
	records, err = d.Usage(ctx, "v", "c")
	require.NoError(t, err)
	require.Equal(t, want.Usage, records)
	for _, none := range []string{"w", ""} {
		moves, err = d.Moves(ctx, none, 0, 0)
		require.NoError(t, err)
		require.Empty(t, moves)
	}
}

func bookingFails(t *testing.T, d *db.DB) {
	first, err := d.Book(ctx, "v", booking(3), db.Absent)
	require.NoError(t, err)
	before := change(t, d)
	fails := func(want error, expect int64, alter func(*db.Booking)) {
		t.Helper()
		b := booking(2)
		b.Moves[0].ID, b.Moves[1].ID = "m3", "m4"
		alter(&b)
		_, err := d.Book(ctx, "v", b, expect)
		require.ErrorIs(t, err, want)
		require.Equal(t, before, change(t, d))
		got, _, err := d.Lots(ctx, "v")
		require.NoError(t, err)
		require.Len(t, got, 3)
		moves, err := d.Moves(ctx, "v", 0, 0)
		require.NoError(t, err)
		require.Len(t, moves, 2)
	}
	fails(db.ErrConflict, first, func(b *db.Booking) { b.Moves[1].ID = "m1" })
	fails(db.ErrStale, first+1, func(*db.Booking) {})
	fails(db.ErrInvalid, first, func(b *db.Booking) { b.Moves[1].ID = "m3" })
	fails(db.ErrInvalid, first, func(b *db.Booking) { b.Moves[0].Quantity = 0 })
	fails(db.ErrInvalid, first, func(b *db.Booking) { b.Moves[0].Party = "\xff" })
	fails(db.ErrInvalid, first, func(b *db.Booking) { b.Usage[0].Used = -1 })
	fails(db.ErrInvalid, first, func(b *db.Booking) { b.Usage[0].Need = "" })
	fails(db.ErrInvalid, first, func(b *db.Booking) { b.Lots[0].Locker = "\x00" })
}

func logged(id string) logbook.Entry {
	return logbook.Entry{ID: id, Day: day("2026-06-05"), Kind: logbook.Temperature, Amount: 31.5, Place: "é bilge", Item: "onion", Note: "noon"}
}

func logGrows(t *testing.T, d *db.DB) {
	early := logged("b")
	early.Day = day("2026-05-01")
	require.NoError(t, d.AddLog(ctx, "v", logged("a"), early))
	before := change(t, d)
	require.NoError(t, d.AddLog(ctx, "v", logged("a")))
	require.Equal(t, before, change(t, d))
	other := logged("a")
	other.Amount = 3
	require.ErrorIs(t, d.AddLog(ctx, "v", logged("c"), other), db.ErrConflict)
	require.ErrorIs(t, d.AddLog(ctx, "v", logged("\xff")), db.ErrInvalid)
	got, err := d.Log(ctx, "v", 0, 0)
	require.NoError(t, err)
	require.Equal(t, []logbook.Entry{early, logged("a")}, got)
	got, err = d.Log(ctx, "v", day("2026-06-01"), day("2026-06-30"))
	require.NoError(t, err)
	require.Len(t, got, 1)
	got, err = d.Log(ctx, "w", 0, 0)
	require.NoError(t, err)
	require.Empty(t, got)
}
