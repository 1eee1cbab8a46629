package web

import (
	"net/http"
	"strconv"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// However stops crowd, no number hides another and all are on the chart.
func TestNumbersOnTheChartNeverOverlap(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		c := mapChart{W: mapW, H: 400}
		n := rapid.IntRange(1, 20).Draw(t, "stops")
		x, y := rapid.Float64Range(0, 640).Draw(t, "west"), rapid.Float64Range(0, 320).Draw(t, "north")
		spread := rapid.Float64Range(0, 80).Draw(t, "spread")
		rows, at := make([]stopRow, n), make([]point, n)
		for i := range n {
			rows[i] = stopRow{N: i + 1, Port: strconv.Itoa(i % 17), Spend: rapid.Float64Range(0, 900).Draw(t, "spend")}
			at[i] = point{x + spread*rapid.Float64Range(0, 1).Draw(t, "x"), y + spread*rapid.Float64Range(0, 1).Draw(t, "y")}
		}
		c.ports(rows, at)
		for i, p := range c.Ports {
			require.GreaterOrEqual(t, p.LX, beadR)
			require.LessOrEqual(t, p.LX, c.W-beadR)
			require.GreaterOrEqual(t, p.LY, beadR)
			require.LessOrEqual(t, p.LY, c.H-beadR)
			for _, o := range c.Ports[:i] {
				require.False(t, overlap(p, o), "%s at %v and %s at %v", p.N, p.bead(), o.N, o.bead())
			}
		}
	})
}

func TestLinesCross(t *testing.T) {
	t.Parallel()
	require.True(t, crossing(point{0, 0}, point{2, 2}, point{0, 2}, point{2, 0}))
	require.False(t, crossing(point{0, 0}, point{2, 0}, point{0, 1}, point{2, 1}))
	require.InDelta(t, 1, distanceTo(point{1, 1}, point{0, 0}, point{2, 0}), 1e-9)
	require.InDelta(t, 5, distanceTo(point{5, 4}, point{0, 0}, point{2, 0}), 1e-9)
}

// Closer and wider are links, as far as it goes.
func TestTheChartComesCloserWithoutScript(t *testing.T) {
	t.Parallel()
	v := visit(t, serve(t, invented(t), Options{}))
	require.Contains(t, v.get(demoVoyage).body, "Closer: around")
	wide := v.get(demoVoyage + "/chart?stop=9&zoom=0")
	require.Equal(t, http.StatusOK, wide.status)
	require.NotContains(t, wide.body, ">Wider<")
	require.Contains(t, wide.body, "chart?stop=9&amp;zoom=1")
	close := v.get(demoVoyage + "/chart?stop=9&zoom=6")
	require.NotContains(t, close.body, ">Closer<")
	require.Contains(t, close.body, "<title>9 ")
	require.NotContains(t, close.body, "<title>1 ", "the first port is far off this piece of chart")
	require.Equal(t, http.StatusOK, v.get(demoVoyage+"/chart?stop=-4&zoom=many").status)
}
