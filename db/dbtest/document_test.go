package dbtest_test

import (
	"fmt"
	"sync"
	"testing"

	"github.com/stretchr/testify/require"

	"hardtack/db"
	"hardtack/pricing/measure"
	"hardtack/route/inventory"
)

func putDoc(t *testing.T, d *db.DB, kind db.Kind, id, body string, expect int64) int64 {
	t.Helper()
	revision, err := d.Put(ctx, kind, id, []byte(body), expect)
	require.NoError(t, err)
	return revision
}

func documentComesBack(t *testing.T, d *db.DB) {
	body := `{"name":"Sámr – 帆 ","b":1.50, "a":"\u0000"}` // spaces, order and escapes as written
	revision := putDoc(t, d, db.KindVessel, "v", body, db.Absent)
	got, err := d.Get(ctx, db.KindVessel, "v")
	require.NoError(t, err)
	require.Equal(t, db.Document{ID: "v", Revision: revision, Body: []byte(body)}, got)
	require.Equal(t, revision, putDoc(t, d, db.KindVessel, "v", body, db.Absent), "the same again changes nothing")
	_, err = d.Get(ctx, db.KindCrew, "v")
	require.ErrorIs(t, err, db.ErrNotFound)
}

func staleRevision(t *testing.T, d *db.DB) {
	first := putDoc(t, d, db.KindCrew, "c", `1`, db.AnyRevision)
	second := putDoc(t, d, db.KindCrew, "c", `2`, first)
	require.Greater(t, second, first)
	_, err := d.Put(ctx, db.KindCrew, "c", []byte(`3`), first)
	require.ErrorIs(t, err, db.ErrStale)
	require.ErrorIs(t, d.Delete(ctx, db.KindCrew, "c", first), db.ErrStale)
	got, err := d.Get(ctx, db.KindCrew, "c")
	require.NoError(t, err)
	require.Equal(t, "2", string(got.Body))
}

func absentMeansAbsent(t *testing.T, d *db.DB) {
	putDoc(t, d, db.KindVoyage, "v", `1`, db.Absent)
	_, err := d.Put(ctx, db.KindVoyage, "v", []byte(`2`), db.Absent)
	require.ErrorIs(t, err, db.ErrConflict)
	_, err = d.Put(ctx, db.KindVoyage, "none", []byte(`2`), 7)
	require.ErrorIs(t, err, db.ErrStale)
}

func revisionNeverAgain(t *testing.T, d *db.DB) {
	first := putDoc(t, d, db.KindVoyage, "v", `1`, db.Absent)
	require.NoError(t, d.Delete(ctx, db.KindVoyage, "v", first))
	require.ErrorIs(t, d.Delete(ctx, db.KindVoyage, "v", db.AnyRevision), db.ErrNotFound)
	require.Greater(t, putDoc(t, d, db.KindVoyage, "v", `1`, db.Absent), first)
}

func deletingTakesAlong(t *testing.T, d *db.DB) {
	putDoc(t, d, db.KindVoyage, "v", `1`, db.Absent)
	putDoc(t, d, db.KindPlan, "v", `1`, db.Absent)
	putDoc(t, d, db.KindPlan, "w", `1`, db.Absent)
	require.NoError(t, d.Delete(ctx, db.KindVoyage, "v", db.AnyRevision, db.KindPlan, db.KindSettings))
	_, err := d.Get(ctx, db.KindPlan, "v")
	require.ErrorIs(t, err, db.ErrNotFound)
	_, err = d.Get(ctx, db.KindPlan, "w")
	require.NoError(t, err)
}

func documentsByID(t *testing.T, d *db.DB) {
	for _, id := range []string{"b", "é", "B", "a"} {
		putDoc(t, d, db.KindPort, id, `{}`, db.Absent)
	}
	got, err := d.List(ctx, db.KindPort)
	require.NoError(t, err)
	var ids []string
	for _, doc := range got {
		ids = append(ids, doc.ID)
	}
	require.Equal(t, []string{"B", "a", "b", "é"}, ids) // by bytes, on both
}

func twoWriters(t *testing.T, d *db.DB) {
	first := putDoc(t, d, db.KindVessel, "v", `0`, db.Absent)
	errs := make([]error, 8)
	var wg sync.WaitGroup
	for i := range errs {
		wg.Go(func() { _, errs[i] = d.Put(ctx, db.KindVessel, "v", fmt.Appendf(nil, "%d", i+1), first) })
	}
	wg.Wait()
	won := 0
	for _, err := range errs {
		if err == nil {
			won++
			continue
		}
		require.ErrorIs(t, err, db.ErrStale)
	}
	require.Equal(t, 1, won)
}

func lots(n int) []inventory.Lot {
	out := make([]inventory.Lot, n)
	for i := range out {
		out[i] = inventory.Lot{
			ID: fmt.Sprintf("l%d", n-i), Item: "rice-white", Space: "bilge", Quantity: measure.Of(float64(i + 1)),
			Bought: day("2026-06-01"), Note: "é",
		}
	}
	return out
}

func lotsComeBack(t *testing.T, d *db.DB) {
	got, revision, err := d.Lots(ctx, "v")
	require.NoError(t, err)
	require.Empty(t, got)
	require.Equal(t, db.Absent, revision)
	want := lots(120)
	want[3].BestBefore, want[4].Bought = day("2027-01-01"), 0
	first, err := d.SetLots(ctx, "v", want, db.Absent)
	require.NoError(t, err)
	got, revision, err = d.Lots(ctx, "v")
	require.NoError(t, err)
	require.Equal(t, want, got)
	require.Equal(t, first, revision)
	again, err := d.SetLots(ctx, "v", want, db.Absent)
	require.NoError(t, err)
	require.Equal(t, first, again)
	last, err := d.SetLots(ctx, "v", nil, first)
	require.NoError(t, err)
	require.Greater(t, last, first)
	got, revision, err = d.Lots(ctx, "v")
	require.NoError(t, err)
	require.Empty(t, got)
	require.Equal(t, last, revision)
}

func lotsOfOneVessel(t *testing.T, d *db.DB) {
	_, err := d.SetLots(ctx, "v", lots(3), db.Absent)
	require.NoError(t, err)
	_, err = d.SetLots(ctx, "w", lots(2), db.Absent)
	require.NoError(t, err)
	got, _, err := d.Lots(ctx, "v")
	require.NoError(t, err)
	require.Len(t, got, 3)
}

func staleLots(t *testing.T, d *db.DB) {
	first, err := d.SetLots(ctx, "v", lots(3), db.Absent)
	require.NoError(t, err)
	_, err = d.SetLots(ctx, "v", lots(2), first+1)
	require.ErrorIs(t, err, db.ErrStale)
	twice := lots(2)
	twice[1].ID = twice[0].ID
	_, err = d.SetLots(ctx, "v", twice, first)
	require.ErrorIs(t, err, db.ErrInvalid)
	none := lots(1)
	none[0].Quantity = 0
	_, err = d.SetLots(ctx, "v", none, first)
	require.ErrorIs(t, err, db.ErrInvalid)
	got, _, err := d.Lots(ctx, "v")
	require.NoError(t, err)
	require.Equal(t, lots(3), got)
}

func firstFactStays(t *testing.T, d *db.DB) {
	got := make([]string, 6)
	errs := make([]error, len(got))
	var wg sync.WaitGroup
	for i := range got {
		wg.Go(func() { got[i], errs[i] = d.MetaOr(ctx, "me", fmt.Sprint(i)) })
	}
	wg.Wait()
	for i := range got {
		require.NoError(t, errs[i])
		require.Equal(t, got[0], got[i])
	}
	require.EqualValues(t, 1, change(t, d))
	_, err := d.MetaOr(ctx, "me", "\x00")
	require.ErrorIs(t, err, db.ErrInvalid)
}
