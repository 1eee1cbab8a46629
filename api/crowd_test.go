package api_test

import (
	"fmt"
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"hardtack/api"
	"hardtack/db"
	"hardtack/db/dbtest"
	"hardtack/pricing"
	"hardtack/pricing/calendar"
	"hardtack/seed"
)

// A service that keeps sums answers nearly as one that keeps every report, and
// takes in a new report, a flood of one account and a withdrawal on the way.
func TestSumsAnswerAsReportsDo(t *testing.T) {
	t.Parallel()
	w, err := api.LoadWorld(seed.FS)
	require.NoError(t, err)
	d := dbtest.Open(t, dbtest.SQLite)
	now := func() time.Time { return time.Date(2026, 6, 15, 12, 0, 0, 0, time.UTC) }
	exact, sums := api.New(d, w, api.Options{Now: now}), api.New(d, w, api.Options{Now: now, Many: 50})
	pair := []api.Pair{{Port: "PTHOR", Item: "rice_white"}, {Port: "PTPDL", Item: "rice_white"}, {Port: "CVMIN", Item: "rice_white"}}
	apart := func() {
		t.Helper()
		_, a, err := exact.Estimates(t.Context(), pair)
		require.NoError(t, err)
		_, b, err := sums.Estimates(t.Context(), pair)
		require.NoError(t, err)
		for k := range a {
			require.InDelta(t, 0, math.Log(a[k].Price/b[k].Price), 0.08, "%v", pair[k])
		}
	}
	entry := func(n int, port, amount string) api.Entry {
		return api.Entry{
			ID: fmt.Sprintf("00000000-0000-4000-8000-%012d", n), Port: port, Item: "rice_white", Day: calendar.Of(now()) - calendar.Day(1+n%60), Found: pricing.FoundYes,
			Amount: amount, Currency: "EUR", Pack: "1 kg", Reporter: fmt.Sprint("u", n%7), Source: pricing.Receipt,
		}
	}
	var many []api.Entry
	for n := range 80 {
		many = append(many, entry(n, []string{"PTHOR", "PTPDL"}[n%2], fmt.Sprintf("%.2f", 1.9+0.05*float64(n%5))))
	}
	_, err = sums.RecordAll(t.Context(), many)
	require.NoError(t, err)
	apart()
	_, err = sums.Record(t.Context(), entry(100, "PTHOR", "2.60"))
	require.NoError(t, err)
	apart()
	var flood []api.Entry
	for n := range 30 {
		e := entry(200+n, "PTPDL", "1.20")
		e.Reporter, e.Day = "flood", calendar.Of(now())-3
		flood = append(flood, e)
	}
	_, err = sums.RecordAll(t.Context(), flood)
	require.NoError(t, err)
	apart()
	_, err = sums.Withdraw(t.Context(), entry(100, "", "").ID, "u2", sums.Today())
	require.NoError(t, err)
	apart()
	n, err := d.CountReports(t.Context(), db.Filter{})
	require.NoError(t, err)
	require.Equal(t, 112, n)
}
