package api_test

import (
	"context"
	"io/fs"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"hardtack/api"
	"hardtack/db"
	"hardtack/db/dbtest"
	"hardtack/seed"
)

var (
	ctx   = context.Background()
	world = sync.OnceValues(func() (*api.World, error) { return api.LoadWorld(seed.FS) })
)

// demoDay is the demo's fixed today, the start of its voyage.
var demoDay = time.Date(2026, 9, 5, 9, 0, 0, 0, time.UTC)

func service(t *testing.T, today time.Time) (*api.Service, *db.DB) {
	t.Helper()
	w, err := world()
	require.NoError(t, err)
	d := dbtest.Open(t, dbtest.SQLite)
	return api.New(d, w, api.Options{Now: func() time.Time { return today }}), d
}

func demo(t *testing.T) (*api.Service, *db.DB, string) {
	t.Helper()
	s, d := service(t, demoDay)
	files, err := fs.Sub(seed.FS, "demo")
	require.NoError(t, err)
	voyage, err := s.LoadSeason(ctx, files)
	require.NoError(t, err)
	before, err := d.Change(ctx)
	require.NoError(t, err)
	again, err := s.LoadSeason(ctx, files)
	require.NoError(t, err)
	require.Equal(t, voyage, again)
	after, err := d.Change(ctx)
	require.NoError(t, err)
	require.Equal(t, before, after, "loaded again it changes nothing")
	return s, d, voyage
}

func TestTheDemoSeason(t *testing.T) {
	t.Parallel()
	s, d, voyage := demo(t)
	n, err := d.CountReports(ctx, db.Filter{})
	require.NoError(t, err)
	require.GreaterOrEqual(t, n, 2500)
	b, err := s.Brief(ctx, voyage)
	require.NoError(t, err)
	require.NoError(t, b.Brief.Check())
	require.Greater(t, len(b.Brief.Needs), 40)
	guessed := 0
	for _, o := range b.Notes.Offers {
		if o.Guess {
			guessed++
		}
	}
	require.Less(t, guessed, len(b.Notes.Offers)/2, "most prices rest on the season's reports")
	_, err = s.LastPlan(ctx, voyage)
	require.ErrorIs(t, err, api.ErrNotFound)
}
