package api_test

import (
	"database/sql"
	"fmt"
	"math/rand/v2"
	"slices"
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

// lookAtAll has a service look into all there is at its next look.
const lookAtAll = `
	INSERT INTO pool SELECT port, SUBSTR(MAX(day, strftime('%Y-%m-%d', received_ms / 1000, 'unixepoch')), 1, 7) || '-01', MAX(seq), '', ''
	FROM report GROUP BY 1, 2 ON CONFLICT (port, month) DO UPDATE SET look = ''`

// twin is one of two services that are told the same.
type twin struct {
	*api.Service
	db  *db.DB
	raw *sql.DB
}

// Looking only where something may be due tells the same reports on the same
// day as looking at everything there is, whatever comes, is corrected, judged
// and claimed, and whenever it comes.
func TestLookingWhereItIsDueTellsTheSame(t *testing.T) {
	t.Parallel()
	w, err := api.LoadWorld(seed.FS)
	require.NoError(t, err)
	for s := range dbtest.Rounds(t, 2, 100) {
		t.Run(fmt.Sprint(s), func(t *testing.T) {
			t.Parallel()
			sameTold(t, w, rand.New(rand.NewPCG(uint64(s), 7)))
		})
	}
}

func sameTold(t *testing.T, w *api.World, r *rand.Rand) {
	ctx := t.Context()
	now := time.Date(2024, 3, 10, 12, 0, 0, 0, time.UTC)
	var both [2]twin
	for i := range both {
		at := dbtest.SQLite(t)
		d := dbtest.Reopen(t, at)
		raw, err := sql.Open("sqlite", at)
		require.NoError(t, err)
		defer raw.Close()
		both[i] = twin{api.New(d, w, api.Options{Now: func() time.Time { return now }, Public: true}), d, raw}
	}
	rule := public.Rule{Delay: 7, Enough: 2, Age: 365}
	var kept []api.Entry
	for n := range 40 {
		act := []string{"report", "report", "report", "report", "correct", "judge", "claim", "rule", "wait", "wait", "rates"}[r.IntN(11)]
		if len(kept) == 0 {
			act = "report"
		}
		ago := []int{0, 3, 20, 100, 200, 500}[r.IntN(6)]
		e := api.Entry{
			ID: fmt.Sprintf("00000000-0000-4000-8000-%012d", n), Port: []string{"ESLPA", "PTHOR"}[r.IntN(2)], Item: "rice_white", Found: pricing.FoundYes,
			Amount: "1.80", Pack: "1 kg", Currency: "EUR", Day: calendar.Of(now) - calendar.Day(ago), Reporter: fmt.Sprint("u", r.IntN(3)), Source: pricing.Shelf,
		}
		verdict := []string{db.Keep, db.LeaveOut}[r.IntN(2)]
		var of api.Entry
		switch act {
		case "correct":
			of = kept[r.IntN(len(kept))]
			e.Replaces, e.Reporter = of.ID, of.Reporter
		case "judge":
			of = kept[r.IntN(len(kept))]
		case "wait":
			now = now.AddDate(0, 0, []int{1, 5, 30, 200, 700}[r.IntN(5)])
		case "rule":
			rule.Enough = 1 + r.IntN(3)
		}
		if act == "report" || act == "correct" {
			kept = append(kept, e)
		}
		var sets [2][]string
		for i, s := range both {
			switch act {
			case "report", "correct":
				_, err := s.Record(ctx, e)
				require.NoError(t, err)
			case "judge":
				require.NoError(t, s.Judge(ctx, "m", of.ID, verdict))
			case "claim":
				_, err := s.db.ClaimReporters(ctx, "account", []string{e.Reporter})
				require.NoError(t, err)
			case "rates":
				require.NoError(t, s.db.PutRates(ctx, []db.Rate{{Currency: "EUR", Day: s.Today(), PerReference: 1}}))
			}
			if i == 1 {
				_, err := s.raw.Exec(lookAtAll)
				require.NoError(t, err)
			}
			_, _, err := s.Publish(ctx, rule)
			require.NoError(t, err)
			sets[i] = s.told(t)
		}
		require.Equal(t, sets[1], sets[0], "%d: %s", n, act)
	}
	require.NotEmpty(t, both[0].told(t))
}

// told is what a service told so far and took back.
func (s twin) told(t *testing.T) (out []string) {
	t.Helper()
	rows, err := s.raw.Query(`SELECT report || ' ' || day FROM published WHERE replaces = ''
		UNION ALL SELECT 'back ' || first.report FROM published back JOIN published first ON first.id = back.replaces ORDER BY 1`)
	require.NoError(t, err)
	defer rows.Close()
	for rows.Next() {
		var line string
		require.NoError(t, rows.Scan(&line))
		out = append(out, line)
	}
	require.NoError(t, rows.Err())
	return out
}

// More pools than are looked into at once are all told, and what is believed
// of all of it is worked out without looking through it for each.
func TestManyPoolsAreTold(t *testing.T) {
	t.Parallel()
	w, err := api.LoadWorld(seed.FS)
	require.NoError(t, err)
	now := time.Date(2026, 6, 15, 12, 0, 0, 0, time.UTC)
	s := api.New(dbtest.Open(t, dbtest.SQLite), w, api.Options{Now: func() time.Time { return now }, Public: true})
	want := 0
	for range 2 {
		var rs []api.Entry
		for _, p := range w.Ports.All() {
			for k := range 3 {
				rs = append(rs, api.Entry{
					Port: string(p.ID), Item: "rice_white", Found: pricing.FoundYes, Amount: "1.80", Pack: "1 kg", Currency: "EUR", Day: s.Today(),
					Reporter: fmt.Sprint("u", k), Source: pricing.Shelf,
				})
			}
		}
		for some := range slices.Chunk(rs, 900) {
			_, err := s.RecordAll(t.Context(), some)
			require.NoError(t, err)
		}
		want += len(rs)
		now = now.AddDate(0, 1, 0)
	}
	require.Greater(t, want, 3*1000, "one look is not enough")
	for _, n := range []int{want, 0} {
		told, _, err := s.Publish(t.Context(), public.Usual)
		require.NoError(t, err)
		require.Equal(t, n, told)
	}
}
