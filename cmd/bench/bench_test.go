package main

import (
	"context"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"

	"hardtack/route/plan/instance"
)

func TestWatchNotesCostsInRisingTime(t *testing.T) {
	t.Parallel()
	c, err := watch(context.Background(), instance.Random(1, instance.Tiny, true), 3000, []float64{20, 30})
	require.NoError(t, err)
	require.Positive(t, c.firstCost)
	require.GreaterOrEqual(t, c.firstCost, c.last.Cost.Total)
	require.Equal(t, []float64{c.last.Cost.Total, c.last.Cost.Total}, c.at)
}

func TestBestKeepsTheLowest(t *testing.T) {
	t.Parallel()
	file := filepath.Join(t.TempDir(), "best.csv")
	b, err := readBest(file)
	require.NoError(t, err)
	b.note("small-1-loose", 12.5, "a")
	b.note("small-1-loose", 13, "b")
	b.note("tiny-1-loose", 3, "b")
	require.NoError(t, b.write(file))
	again, err := readBest(file)
	require.NoError(t, err)
	require.Equal(t, b, again)
	require.Equal(t, record{12.5, "a"}, again["small-1-loose"])
}

func TestSlope(t *testing.T) {
	t.Parallel()
	require.InDelta(t, 1.5, slope([]float64{1, 2, 4}, []float64{2, 3.5, 6.5}), 1e-12)
}

func TestChosenRefusesOddSizes(t *testing.T) {
	t.Parallel()
	list, err := chosen("season", 3, 2, "both")
	require.NoError(t, err)
	require.Len(t, list, 4)
	require.Equal(t, "season-4-tight", list[3].String())
	_, err = chosen("huge", 1, 1, "both")
	require.Error(t, err)
}
