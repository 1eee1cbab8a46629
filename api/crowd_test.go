package api_test

import (
	"fmt"
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"hardtack/api"
	"hardtack/api/public"
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

// On a server of many boats sums are of what everybody is told: what was told
// and is taken back, because its boat withdrew or corrected it or a moderator
// left it out, goes out of the sums as if it had never been in them.
func TestWhatIsTakenBackGoesOutOfTheSums(t *testing.T) {
	t.Parallel()
	ctx := t.Context()
	w, err := api.LoadWorld(seed.FS)
	require.NoError(t, err)
	d := dbtest.Open(t, dbtest.SQLite)
	now := time.Date(2026, 6, 2, 12, 0, 0, 0, time.UTC)
	served := func(many int) *api.Service {
		return api.New(d, w, api.Options{Now: func() time.Time { return now }, Public: true, Many: many})
	}
	sums := served(10)
	pair := []api.Pair{{Port: "PTHOR", Item: "rice_white"}, {Port: "PTPDL", Item: "rice_white"}}
	believed := func(s *api.Service) []pricing.Estimate {
		t.Helper()
		_, es, err := s.Estimates(ctx, pair)
		require.NoError(t, err)
		return es
	}
	var dear []api.Entry
	for n := range 30 {
		e := api.Entry{
			ID: fmt.Sprintf("00000000-0000-4000-8000-%012d", n), Port: "PTHOR", Item: "rice_white", Day: calendar.Of(now) - 20, Found: pricing.FoundYes,
			Amount: fmt.Sprintf("%.2f", 1.9+0.02*float64(n%5)), Currency: "EUR", Pack: "1 kg", Reporter: fmt.Sprint("u", n), Source: pricing.Receipt,
		}
		if n%5 < 2 {
			e.Amount = "2.70"
			dear = append(dear, e)
		}
		_, err := sums.Record(ctx, e)
		require.NoError(t, err)
	}
	publish := func(told, back int) {
		t.Helper()
		a, b, err := sums.Publish(ctx, public.Usual)
		require.NoError(t, err)
		require.Equal(t, []int{told, back}, []int{a, b})
	}
	now = time.Date(2026, 7, 10, 12, 0, 0, 0, time.UTC)
	publish(30, 0)
	before := believed(sums)

	for k, e := range dear {
		switch k % 3 {
		case 0:
			_, err = sums.Withdraw(ctx, e.ID, e.Reporter, sums.Today())
		case 1:
			err = sums.Judge(ctx, "moderator", e.ID, db.LeaveOut)
		default:
			e.ID, e.Replaces, e.Amount = fmt.Sprintf("00000000-0000-4000-8000-%012d", 100+k), e.ID, "1.95"
			_, err = sums.Record(ctx, e)
		}
		require.NoError(t, err)
		publish(0, 1) // the correction is one of a boat alone and waits
		believed(sums)
	}
	after := believed(sums)
	require.NoError(t, d.PutSums(ctx, func(func([]byte) bool) {})) // so that they are made anew
	for k, anew := range believed(served(10)) {
		require.InDelta(t, 0, math.Log(after[k].Price/anew.Price), 0.02, "%v: as sums made of what is left", pair[k])
		require.InDelta(t, anew.Evidence, after[k].Evidence, 0.3, "%v", pair[k])
		require.Less(t, after[k].Price, before[k].Price, "%v", pair[k])
	}
	require.Less(t, after[0].Price, 0.95*before[0].Price, "12 of 30 had paid 2.70")
	require.InDelta(t, 0, math.Log(after[0].Price/believed(served(1_000))[0].Price), 0.08, "as report by report")
}
