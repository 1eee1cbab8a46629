package api_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"hardtack/api"
	"hardtack/db"
)

const twoRows = "report,port,item,day,found,amount,currency,pack,shop,reporter,source,quality,origin,note,replaces\n" +
	"0d7b7b0a-3d0e-4a6e-8a36-0d8e3f6a4b01,PTHOR,rice_white,2026-06-01,yes,1.99,EUR,1,,a,shelf,,,,\n" +
	"0d7b7b0a-3d0e-4a6e-8a36-0d8e3f6a4b02,PTHOR,egg_unwashed,2026-06-01,none,,,,,b,shelf,,,,\n"

func TestAnImportIsTakenBack(t *testing.T) {
	t.Parallel()
	s, d := service(t, june)
	done, err := s.Import(ctx, strings.NewReader(twoRows), api.ImportOptions{DryRun: true})
	require.NoError(t, err)
	require.Empty(t, done.Undo, "nothing was written")
	done, err = s.Import(ctx, strings.NewReader(twoRows), api.ImportOptions{})
	require.NoError(t, err)
	require.NotEmpty(t, done.Undo)
	standing := func() int {
		n, err := d.CountReports(ctx, db.Filter{Standing: true})
		require.NoError(t, err)
		return n
	}
	require.Equal(t, 2, standing())
	again, err := s.Import(ctx, strings.NewReader(twoRows), api.ImportOptions{})
	require.NoError(t, err)
	require.Empty(t, again.Undo, "it brought nothing new")
	n, err := s.UndoImport(ctx, done.Undo)
	require.NoError(t, err)
	require.Equal(t, 2, n)
	require.Zero(t, standing())
	_, err = s.UndoImport(ctx, done.Undo)
	require.NoError(t, err)
	_, err = s.UndoImport(ctx, "none")
	require.ErrorIs(t, err, api.ErrNotFound)
}
