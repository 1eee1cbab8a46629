package geo

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// Test cases of GeographicLib, legacy/C/geodtest.c (C. Karney), rows 1–5, 12,
// 13 and 17, and its GeodSolve0, GeodSolve4 and GeodSolve6. Metres.
func TestDistanceAgainstGeographicLib(t *testing.T) {
	t.Parallel()
	for _, tt := range []struct {
		name           string
		a, b           Position
		metres, within float64
	}{
		{"row 1", Position{35.60777, -139.44815}, Position{-11.17491, -69.95921}, 8935244.5604818305, 1e-6},
		{"row 2, over the antimeridian", Position{55.52454, 106.05087}, Position{77.03196, 197.18234}, 4105086.1713924406, 1e-6},
		{"row 3", Position{-21.97856, 142.59065}, Position{41.84138, 98.56635}, 8394328.894657671, 1e-6},
		{"row 4, over the antimeridian", Position{-66.99028, 112.2363}, Position{-12.70631, 285.90344}, 11150344.2312080241, 1e-6},
		{"row 5", Position{-17.42761, 173.34268}, Position{-15.84784, 5.93557}, 16076603.1631180673, 1e-6},
		{"row 12, over the antimeridian", Position{-21.76221, 166.90563}, Position{48.72884, 213.97627}, 9098627.3986554915, 1e-6},
		{"row 13", Position{-19.79938, -174.47484}, Position{-11.99349, -154.35109}, 2319004.8601169389, 1e-6},
		{"row 17, over the antimeridian", Position{-25.72959, -144.90758}, Position{-57.70581, -269.17879}, 9413446.7452453107, 1e-6},
		{"GeodSolve0", Position{40.6, -73.8}, Position{49.01666667, 2.55}, 5853226, 0.5},
		{"GeodSolve4, seven centimetres", Position{36.493349428792, 0}, Position{36.49334942879201, .0000008}, 0.072, 0.0005},
		{"GeodSolve6, nearly antipodal", Position{88.202499451857, 0}, Position{-88.202499451857, 179.981022032992859592}, 20003898.214, 0.0005},
	} {
		t.Run(tt.name, func(t *testing.T) {
			t.Parallel()
			require.InDelta(t, tt.metres, float64(Distance(tt.a, tt.b))*1852, tt.within)
		})
	}
}

func TestDistanceIsAMetric(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		a, b, c := anywhere(t), anywhere(t), anywhere(t)
		d := float64(Distance(a, b))
		require.InDelta(t, d, float64(Distance(b, a)), 1e-9)
		require.InDelta(t, d, float64(Distance(Position{a.Lat, a.Lon + 360}, b)), 1e-6)
		require.LessOrEqual(t, d, float64(Along([]Position{a, c, b}))+1e-6)
		require.InDelta(t, d, a.vector().nm(b.vector()), 0.006*d+1e-6, "the sphere is 0.6 %% off at most")
	})
}

// Found by the test above: the library alone gives -10783.
func TestDistanceAHairSouthOfTheEquator(t *testing.T) {
	t.Parallel()
	hair := -3.5e-18
	require.InDelta(t, float64(Distance(Position{0, 180}, Position{0, 0.5})), float64(Distance(Position{hair, 180}, Position{hair, 0.5})), 1e-6)
}

func anywhere(t *rapid.T) Position {
	return Position{rapid.Float64Range(-90, 90).Draw(t, "lat"), rapid.Float64Range(-180, 180).Draw(t, "lon")}
}

// On a sphere of 6371.0088 km a degree of the equator is 111.195 km: own
// arithmetic, across the antimeridian.
func TestSphere(t *testing.T) {
	t.Parallel()
	got := Position{0, 179.5}.vector().nm(Position{0, -179.5}.vector())
	require.InDelta(t, 111.195, got*1.852, 0.0005)
	require.Zero(t, Along(nil))
	require.Zero(t, Along([]Position{{1, 1}}))
}

func TestPositionText(t *testing.T) {
	t.Parallel()
	require.Equal(t, "38°31.8'N 028°37.5'W", Position{38.53, -28.625}.String())
	require.Equal(t, "00°00.0'N 180°00.0'E", Position{0, 180}.String())
	require.Equal(t, "10°00.0'S 001°00.0'E", Position{-9.99999, 0.99999}.String(), "minutes carry over")
	for _, p := range []Position{{91, 0}, {-91, 0}, {0, 181}, {math.NaN(), 0}, {0, math.Inf(1)}} {
		require.Error(t, p.Check())
	}
	require.NoError(t, Position{-90, 180}.Check())
}
