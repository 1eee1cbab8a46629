package main

import (
	"io/fs"
	"testing"

	"github.com/stretchr/testify/require"

	"hardtack/pricing"
	"hardtack/pricing/dataset"
	"hardtack/pricing/money"
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

// It tells a story: what was asked of it is in it.
func TestSeasonTellsAStory(t *testing.T) {
	t.Parallel()
	sub, err := fs.Sub(seed.FS, "demo")
	require.NoError(t, err)
	d, rejected, err := dataset.Read(sub)
	require.NoError(t, err)
	require.Empty(t, rejected)

	reporters, currencies, found := map[string]int{}, map[money.Currency]int{}, map[pricing.Found]int{}
	ports, replaced := map[pricing.PortID]int{}, 0
	for _, r := range d.Reports {
		reporters[r.Reporter]++
		found[r.Found]++
		ports[r.Port]++
		if r.Found == pricing.FoundYes {
			currencies[r.Paid.Currency]++
		}
		if r.Replaces != "" {
			replaced++
		}
		require.Less(t, r.Day, today+1, "no report is from the demo's future")
	}
	require.InDelta(t, 3000, len(d.Reports), 50)
	require.Len(t, reporters, 40)
	require.Len(t, currencies, 5, "EUR, CVE, SRD, XCD, BMD")
	require.Greater(t, found[pricing.FoundNone], 100)
	require.Greater(t, found[pricing.Cheap], 10)
	require.Greater(t, found[pricing.Dear], 10)
	require.Greater(t, replaced, 10)
	gaps := 0
	for _, p := range d.Ports {
		if ports[p.ID] == 0 {
			gaps++
		}
	}
	require.GreaterOrEqual(t, gaps, 3, "ports nobody has reported from")
}
