package api_test

import (
	"fmt"
	"slices"
	"strings"
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

// restarts is a database with reports, and services that begin on it one after
// the other.
type restarts struct {
	*testing.T
	db    *db.DB
	world *api.World
	now   time.Time
	next  int
}

func newRestarts(t *testing.T, e dbtest.Engine) *restarts {
	w, err := api.LoadWorld(seed.FS)
	require.NoError(t, err)
	return &restarts{T: t, db: dbtest.Open(t, e), world: w, now: time.Date(2026, 6, 15, 12, 0, 0, 0, time.UTC)}
}

func (r *restarts) serve(o api.Options) *api.Service {
	o.Now = func() time.Time { return r.now }
	return api.New(r.db, r.world, o)
}

// told has reports come in of an amount about.
func (r *restarts) told(s *api.Service, n int, about float64) {
	r.Helper()
	for range n {
		r.next++
		_, err := s.Record(r.Context(), api.Entry{
			ID: fmt.Sprintf("00000000-0000-4000-8000-%012d", r.next), Port: []string{"PTHOR", "PTPDL", "CVMIN"}[r.next%3], Item: "rice_white",
			Day: s.Today() - calendar.Day(r.next%60), Found: pricing.FoundYes, Amount: fmt.Sprintf("%.2f", about+0.03*float64(r.next%7)), Currency: "EUR", Pack: "1 kg",
			Reporter: fmt.Sprint("u", r.next%9), Source: pricing.Receipt,
		})
		require.NoError(r, err)
	}
}

func (r *restarts) believed(s *api.Service) (out []float64) {
	r.Helper()
	_, es, err := s.Estimates(r.Context(), []api.Pair{{Port: "PTHOR", Item: "rice_white"}, {Port: "PTPDL", Item: "rice_white"}, {Port: "ESLPA", Item: "flour_white"}})
	require.NoError(r, err)
	for _, e := range es {
		out = append(out, e.Price, e.LogSD, e.Evidence)
	}
	return out
}

// parts are the sums as they are kept.
func (r *restarts) parts() (out [][]byte) {
	r.Helper()
	require.NoError(r, r.db.EachSums(r.Context(), func(p []byte) error { out = append(out, slices.Clone(p)); return nil }))
	return out
}

// A server that starts goes on with the sums another left: what it believes is
// what the other believed, reports that came since, corrections and the next
// days included, and not what it would make of all reports anew.
func TestAServerGoesOnWithTheSumsKept(t *testing.T) {
	for name, e := range map[string]dbtest.Engine{"sqlite": dbtest.SQLite, "postgres": dbtest.Postgres} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			r := newRestarts(t, e)
			first := r.serve(api.Options{Many: 30})
			r.told(first, 60, 1.9)
			r.believed(first)
			kept := r.parts()
			require.Len(t, kept, 3)
			r.told(first, 40, 2.4)
			_, err := first.Withdraw(t.Context(), "00000000-0000-4000-8000-000000000003", "u3", first.Today())
			require.NoError(t, err)
			for range 3 {
				want := r.believed(first)
				require.InDeltaSlice(t, want, r.believed(r.serve(api.Options{Many: 30})), 1e-5)
				r.now = r.now.AddDate(0, 0, 2)
				r.told(first, 5, 2.4)
			}
			want := r.believed(first)
			require.NotEqual(t, kept, r.parts(), "kept anew after more than a hundredth came")
			require.NoError(t, r.db.PutSums(t.Context(), slices.Values(kept)))
			require.InDeltaSlice(t, want, r.believed(r.serve(api.Options{Many: 30})), 1e-5, "an old copy")

			require.NoError(t, r.db.PutSums(t.Context(), slices.Values([][]byte(nil))))
			anew := r.believed(r.serve(api.Options{Many: 30}))
			require.Greater(t, apart(want, anew), 1e-4, "a basis of all reports is another one")
			for what, spoil := range map[string]func([][]byte) [][]byte{
				"torn":              func(p [][]byte) [][]byte { return p[:2] },
				"a part twice":      func(p [][]byte) [][]byte { return append(p, p[2]) },
				"a bit of the sums": func(p [][]byte) [][]byte { p[2][len(p[2])/2] ^= 4; return p },
				"no head":           func(p [][]byte) [][]byte { return p[1:] },
				"another program's": func(p [][]byte) [][]byte {
					p[0] = []byte(strings.Replace(string(p[0]), `"form":1`, `"form":2`, 1))
					return p
				},
				"of another basis":     func(p [][]byte) [][]byte { p[1] = p[1][:len(p[1])-37]; return p },
				"of reports not there": func(p [][]byte) [][]byte { p[1][5] ^= 1; return p },
				"of changes still to come": func(p [][]byte) [][]byte {
					p[0] = []byte(strings.Replace(string(p[0]), `"at":`, `"at":99`, 1))
					return p
				},
				"of days that are to come": func(p [][]byte) [][]byte {
					p[0] = []byte(strings.Replace(string(p[0]), `"day":"2026`, `"day":"2036`, 1))
					return p
				},
				"of a basis that is too old": func(p [][]byte) [][]byte {
					p[0] = []byte(strings.Replace(string(p[0]), `"began":"2026`, `"began":"2025`, 1))
					return p
				},
			} {
				spoiled := make([][]byte, len(kept))
				for i := range kept {
					spoiled[i] = slices.Clone(kept[i])
				}
				require.NoError(t, r.db.PutSums(t.Context(), slices.Values(spoil(spoiled))))
				require.InDeltaSlice(t, anew, r.believed(r.serve(api.Options{Many: 30})), 1e-9, what)
			}
			for what, change := range map[string]func(){
				"a rate": func() {
					require.NoError(t, r.db.PutRates(t.Context(), []db.Rate{{Currency: "EUR", Day: first.Today(), PerReference: 1}}))
				},
				"a week": func() { r.now = r.now.AddDate(0, 0, 7) },
			} {
				was := r.parts()
				change()
				r.believed(r.serve(api.Options{Many: 30}))
				require.NotEqual(t, was[0], r.parts()[0], what)
			}
		})
	}
}

func apart(a, b []float64) (most float64) {
	for i := range a {
		most = max(most, a[i]-b[i], b[i]-a[i])
	}
	return most
}

// Sums bear nothing of a report but its id, and when an account is erased they
// go.
func TestSumsKeepNobody(t *testing.T) {
	t.Parallel()
	r := newRestarts(t, dbtest.SQLite)
	s := r.serve(api.Options{Public: true, Many: 5})
	r.told(s, 60, 1.9)
	_, _, err := s.Publish(t.Context(), public.Usual)
	require.NoError(t, err)
	r.now = r.now.AddDate(0, 2, 0)
	told, _, err := s.Publish(t.Context(), public.Usual)
	require.NoError(t, err)
	require.Equal(t, 9, told, "one of each reporter")
	r.believed(s)
	parts := r.parts()
	require.Len(t, parts, 3)
	for _, p := range parts {
		require.NotContains(t, string(p), "u1")
	}
	account := db.Account{ID: "a", Name: "a", Role: "boat", State: db.Active}
	require.NoError(t, r.db.AddAccount(t.Context(), account, "", 0))
	_, err = r.db.ClaimReporters(t.Context(), "a", []string{"u1"})
	require.NoError(t, err)
	require.NoError(t, r.db.EraseAccount(t.Context(), "a", "a", "somebody"))
	require.Empty(t, r.parts())
}
