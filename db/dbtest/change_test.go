package dbtest_test

import (
	"fmt"
	"math"
	"sync"
	"testing"

	"github.com/stretchr/testify/require"

	"hardtack/db"
)

func ratesComeBack(t *testing.T, d *db.DB) {
	want := []db.Rate{
		{Currency: "CVE", Day: day("2026-01-01"), PerReference: 110.265, Source: "peg"},
		{Currency: "GBP", Day: day("2026-01-01"), PerReference: 0.1 + 0.2, Source: "invented"}, // a double to its last bit
		{Currency: "GBP", Day: day("2026-02-01"), PerReference: 1, Source: "invented"},
	}
	require.NoError(t, d.PutRates(ctx, want))
	before := change(t, d)
	require.NoError(t, d.PutRates(ctx, want))
	require.Equal(t, before, change(t, d))
	got, err := d.Rates(ctx)
	require.NoError(t, err)
	require.Equal(t, want, got)
	want[2].PerReference = 0.9
	require.NoError(t, d.PutRates(ctx, want[2:]))
	got, err = d.Rates(ctx)
	require.NoError(t, err)
	require.Equal(t, want, got)
	for _, bad := range []float64{0, -1, math.NaN(), math.Inf(1)} {
		r := want[0]
		r.PerReference = bad
		require.ErrorIs(t, d.PutRates(ctx, []db.Rate{r}), db.ErrInvalid)
	}
}

func change(t *testing.T, d *db.DB, kinds ...db.Kind) int64 {
	t.Helper()
	n, err := d.Change(ctx, kinds...)
	require.NoError(t, err)
	return n
}

func everyWriteOneChange(t *testing.T, d *db.DB) {
	require.Zero(t, change(t, d))
	add(t, d, coffee("a"))
	add(t, d, coffee("b"), coffee("c"))
	putDoc(t, d, db.KindVessel, "v", `{}`, db.Absent)
	_, err := d.SetLots(ctx, "v", lots(3), db.Absent)
	require.NoError(t, err)
	require.NoError(t, d.Delete(ctx, db.KindVessel, "v", db.AnyRevision))
	require.EqualValues(t, 5, change(t, d))
	require.EqualValues(t, 2, change(t, d, db.KindReport))
	require.EqualValues(t, 5, change(t, d, db.KindReport, db.KindVessel))
	require.EqualValues(t, 4, change(t, d, db.KindLot))
	require.Zero(t, change(t, d, db.KindRate))
}

func writersSideBySide(t *testing.T, d *db.DB) {
	const writers, each = 8, 25
	var wg sync.WaitGroup
	errs := make(chan error, writers)
	for w := range writers {
		wg.Go(func() {
			for i := range each {
				_, err := d.Put(ctx, db.KindVessel, fmt.Sprintf("v%d", w), fmt.Appendf(nil, "%d", i), db.AnyRevision)
				if err != nil {
					errs <- err
					return
				}
			}
		})
	}
	wg.Wait()
	close(errs)
	require.NoError(t, <-errs)
	require.EqualValues(t, writers*each, change(t, d)) // no number twice, none left out
	got, err := d.List(ctx, db.KindVessel)
	require.NoError(t, err)
	require.Len(t, got, writers)
	for _, doc := range got {
		require.Equal(t, fmt.Sprint(each-1), string(doc.Body))
	}
}

func errorUndoes(t *testing.T, d *db.DB) {
	add(t, d, coffee("a"))
	before := change(t, d)
	clash := coffee("a")
	clash.Quality = 1
	_, err := d.AddReports(ctx, append(season(1000), clash))
	require.ErrorIs(t, err, db.ErrConflict)
	require.Equal(t, before, change(t, d))
	require.Len(t, all(t, d, db.Filter{}), 1)
}
