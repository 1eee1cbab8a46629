package main

import (
	"io/fs"
	"testing"

	"github.com/stretchr/testify/require"

	"hardtack/seed"
)

// The committed season is what the generator makes; after a change of the
// catalogue run "go run ./cmd/seedgen" and commit the files.
func TestCommittedSeasonIsTheGenerators(t *testing.T) {
	t.Parallel()
	files, err := generate(seed.FS)
	require.NoError(t, err)
	require.Len(t, files, 4)
	for name, want := range files {
		got, err := fs.ReadFile(seed.FS, "demo/"+name)
		require.NoError(t, err)
		require.True(t, string(want) == string(got), "seed/demo/%s is not what seedgen makes: run go run ./cmd/seedgen", name)
	}
}
