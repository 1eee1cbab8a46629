package geo

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
)

// square is an island of so many degrees with its south-west corner at lat, lon.
func square(lat, lon, size float64) []Position {
	return []Position{{lat, lon}, {lat, lon + size}, {lat + size, lon + size}, {lat + size, lon}, {lat, lon}}
}

func islands(rings ...[]Position) *Coast {
	var points []Position
	var joined []bool
	for _, r := range rings {
		for i, p := range r {
			points, joined = append(points, p), append(joined, i+1 < len(r))
		}
	}
	return newCoast(points, joined)
}

// area of a ring in square degrees, by the shoelace formula.
func area(ring []Position) float64 {
	sum := 0.0
	for i, p := range ring {
		q := ring[(i+1)%len(ring)]
		sum += p.Lon*q.Lat - q.Lon*p.Lat
	}
	return math.Abs(sum) / 2
}

func TestOutlineIsTheLandInABox(t *testing.T) {
	t.Parallel()
	c := islands(square(10, 20, 4), square(30, 50, 0.1), square(-5, 178, 4))
	whole := c.Outline(Box{0, 0, 40, 60}, 0.01)
	require.Len(t, whole, 2)
	require.InDelta(t, 16, area(whole[0]), 1e-9)
	require.Len(t, c.Outline(Box{0, 0, 40, 60}, 0.5), 1, "small islands are left out of a coarse chart")
	quarter := c.Outline(Box{12, 22, 40, 60}, 0.01)
	require.InDelta(t, 4, area(quarter[0]), 1e-9, "cut at the edges")
	require.Empty(t, c.Outline(Box{-60, -60, -50, -50}, 0.01))
	for _, turn := range []float64{0, 360, -360} { // the same place, however its longitude is written
		across := c.Outline(Box{-10, 175 + turn, 5, 190 + turn}, 0.01)
		require.Len(t, across, 1)
		require.InDelta(t, 16, area(across[0]), 1e-9)
	}
}

func TestOutlineOfManyBendsKeepsWithinCoarse(t *testing.T) {
	t.Parallel()
	var round []Position
	for k := range 721 {
		a := float64(k) * math.Pi / 360
		round = append(round, Position{5 * math.Sin(a), 5 * math.Cos(a)})
	}
	round[720] = round[0]
	out := islands(round).Outline(Box{-10, -10, 10, 10}, 0.1)
	require.Len(t, out, 1)
	require.Less(t, len(out[0]), 60)
	require.InDelta(t, math.Pi*25, area(out[0]), 2*math.Pi*5*0.1)
	for _, p := range out[0] {
		require.InDelta(t, 5, math.Hypot(p.Lat, p.Lon), 1e-9, "what is kept lies where it lay")
	}
}
