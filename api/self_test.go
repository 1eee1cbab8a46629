package api_test

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"

	"hardtack/api"
	"hardtack/db"
	"hardtack/db/dbtest"
)

func TestABackupCarriesASeasonOver(t *testing.T) {
	t.Parallel()
	s, d, voyage := demo(t)
	path := filepath.Join(t.TempDir(), "season.backup")
	_, err := s.Backup(ctx, path)
	require.NoError(t, err)
	_, err = s.Backup(ctx, path)
	require.ErrorIs(t, err, api.ErrConflict)
	f, err := os.Open(path)
	require.NoError(t, err)
	defer f.Close()
	other := dbtest.Open(t, dbtest.SQLite)
	require.NoError(t, other.Restore(ctx, f))
	w, err := world()
	require.NoError(t, err)
	back := api.New(other, w, api.Options{})
	want, err := s.Voyage(ctx, voyage)
	require.NoError(t, err)
	got, err := back.Voyage(ctx, voyage)
	require.NoError(t, err)
	require.Equal(t, want, got)
	n, err := d.CountReports(ctx, db.Filter{})
	require.NoError(t, err)
	m, err := other.CountReports(ctx, db.Filter{})
	require.NoError(t, err)
	require.Equal(t, n, m)
}

func TestReadyAsksTheDatabase(t *testing.T) {
	t.Parallel()
	w, err := world()
	require.NoError(t, err)
	d, err := db.Open(ctx, dbtest.SQLite(t))
	require.NoError(t, err)
	s := api.New(d, w, api.Options{})
	require.NoError(t, s.Ready(ctx))
	require.NoError(t, d.Close())
	require.Error(t, s.Ready(ctx))
}
