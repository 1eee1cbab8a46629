package main

import (
	"context"
	"encoding/xml"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"

	"hardtack/pricing/world"
	"hardtack/route/plan"
	"hardtack/route/plan/instance"
)

func TestWatchNotesCostsInRisingTime(t *testing.T) {
	t.Parallel()
	c, err := watch(context.Background(), instance.Random(1, instance.Tiny, true), plan.Budget{Work: 3000}, clock, []float64{20, 30})
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

func TestExponent(t *testing.T) {
	t.Parallel()
	require.InDelta(t, 1.5, exponent([]float64{1, 4, 16}, []float64{2, 16, 128}), 1e-12)
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

// At true prices a plan made with them costs what it says, and of the other
// brief nothing differs but prices.
func TestPlansAtTruePrices(t *testing.T) {
	t.Parallel()
	c := liarsCmd{Liars: 0.2, Work: 2000, Reports: 1500}
	m := c.markets(3)
	b := instance.Random(3, instance.Tiny, false)
	truth, lied := m.priced(b, 0), m.priced(b, 3)
	p, err := plan.Solve(t.Context(), truth, plan.Budget{Work: c.Work}, nil)
	require.NoError(t, err)
	require.InDelta(t, p.Cost.Goods, goods(truth, p), 1e-6)
	require.NotEqual(t, truth.Needs[0].Items[0].Offers, lied.Needs[0].Items[0].Offers)
	require.Equal(t, truth.Stops, lied.Stops)
	costs, err := c.costs(t.Context(), m, b)
	require.NoError(t, err)
	require.InDelta(t, p.Cost.Total, costs[0], 1e-6)
	for _, x := range costs[1:] {
		require.Greater(t, x, p.Bound*(1-1e-9))
	}
}

func TestLinesAreDrawn(t *testing.T) {
	t.Parallel()
	file := filepath.Join(t.TempDir(), "growth.svg")
	sizes := []float64{15, 30, 60}
	require.NoError(t, draw(file, "needs, or stops", line{"needs", sizes, []float64{0.1, 0.2, 0.5}}, line{"stops", []float64{6, 30}, []float64{0.1, 2}}))
	drawn, err := os.ReadFile(file)
	require.NoError(t, err)
	require.NoError(t, xml.Unmarshal(drawn, new(any)))
	for _, said := range []string{"needs, or stops", "seconds", "needs with exponent 1", "stops with exponent 1"} {
		require.Contains(t, string(drawn), ">"+said+"<")
	}
	require.ErrorContains(t, draw(file, "needs", line{"needs", sizes, []float64{0.1, 0, 0.5}}), "needs: to be drawn")
	require.ErrorContains(t, draw(file, "needs", line{"needs", sizes[:1], sizes[:1]}), "needs: to be drawn")
	again, err := os.ReadFile(file)
	require.NoError(t, err)
	require.Equal(t, drawn, again)
}

func TestGrownWorldsKeepTheirShape(t *testing.T) {
	t.Parallel()
	require.Equal(t, 2*grown(15_000).Ports, grown(60_000).Ports)
	w := world.Invent(grown(300))
	ports, items := named(w, 40, 60)
	require.Len(t, ports, 40)
	require.Len(t, items, 60)
	require.Positive(t, seen(w))
	require.NoError(t, (&pricesCmd{Reports: []int{300, 600}, Times: 1}).Run(t.Context()))
}
