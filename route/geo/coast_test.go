package geo

import (
	"bytes"
	"compress/gzip"
	"io"
	"math/rand/v2"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/require"

	"hardtack/seed"
)

var loaded = func() func(t require.TestingT) *Coast {
	c, err := LoadCoast(seed.FS)
	return func(t require.TestingT) *Coast {
		require.NoError(t, err)
		return c
	}
}()

// Where land is: common geography. The small islands are those that coarser
// coastlines lack.
func TestOnLand(t *testing.T) {
	t.Parallel()
	c := loaded(t)
	for _, tt := range []struct {
		name string
		at   Position
		land bool
	}{
		{"Madrid", Position{40.4, -3.7}, true},
		{"Corvo", Position{39.7, -31.105}, true},
		{"Porto Santo", Position{33.07, -16.34}, true},
		{"Brava", Position{14.85, -24.71}, true},
		{"Saint Helena", Position{-15.96, -5.7}, true},
		{"Ascension", Position{-7.94, -14.36}, true},
		{"Taveuni", Position{-16.83, -179.97}, true},
		{"Chukotka, west of the antimeridian", Position{67, 179}, true},
		{"Chukotka, east of it", Position{67, -178}, true},
		{"the South Pole", Position{-90, 0}, true},
		{"the North Pole", Position{90, 0}, false},
		{"mid Atlantic", Position{30, -40}, false},
		{"Biscay", Position{45.5, -5}, false},
		{"Irish Sea", Position{53.6, -5}, false},
		{"on the antimeridian, south of Fiji", Position{-25, 180}, false},
		{"on the antimeridian, said the other way", Position{-25, -180}, false},
	} {
		t.Run(tt.name, func(t *testing.T) {
			t.Parallel()
			require.Equal(t, tt.land, c.OnLand(tt.at))
		})
	}
}

// OnLand reads tiles; a count of every coast between the place and the North
// Pole must say the same.
func TestOnLandAgainstCountingToThePole(t *testing.T) {
	t.Parallel()
	c := loaded(t)
	joined := segments(t)
	draw := rand.New(rand.NewPCG(1, 2))
	for range 30 {
		p := c.points[draw.IntN(len(c.points))] // a coast, and a few miles off
		p.Lat = min(max(p.Lat+draw.Float64()*0.1-0.05, -89.9), 89.9)
		p.Lon += draw.Float64()*0.1 - 0.05
		met := 0
		for i, ok := range joined {
			if !ok {
				continue
			}
			a, b := c.segment(int32(i), p.Lon)
			if (a.Lon > p.Lon) != (b.Lon > p.Lon) && a.Lat+(p.Lon-a.Lon)/(b.Lon-a.Lon)*(b.Lat-a.Lat) > p.Lat {
				met++
			}
		}
		require.Equal(t, met%2 == 1, c.OnLand(p), "%v", p)
	}
}

// segments says for each point of the coast whether a segment begins there.
func segments(t *testing.T) []bool {
	t.Helper()
	f, err := seed.FS.Open(CoastFile)
	require.NoError(t, err)
	defer f.Close()
	z, err := gzip.NewReader(f)
	require.NoError(t, err)
	grid, rings, _, err := decode(z)
	require.NoError(t, err)
	_, joined := unpack(grid, rings)
	return joined
}

func TestCrosses(t *testing.T) {
	t.Parallel()
	c := loaded(t)
	for _, tt := range []struct {
		name string
		a, b Position
		want bool
	}{
		{"open ocean", Position{16.7, -25.2}, Position{13, -59}, false},
		{"through Iberia", Position{43.6, -8.5}, Position{36.3, -5}, true},
		{"over Corvo", Position{39.7, -31.3}, Position{39.7, -30.9}, true},
		{"past Corvo", Position{39.8, -31.3}, Position{39.8, -30.9}, false},
		{"over the antimeridian at sea", Position{-25, 179}, Position{-25, -179}, false},
		{"over the antimeridian through Taveuni", Position{-16.83, 179.5}, Position{-16.83, -179.5}, true},
		{"within Spain", Position{40, -4}, Position{40, -3.9}, true},
		{"nowhere to go", Position{30, -40}, Position{30, -40}, false},
	} {
		t.Run(tt.name, func(t *testing.T) {
			t.Parallel()
			require.Equal(t, tt.want, c.Crosses(tt.a, tt.b))
			require.Equal(t, tt.want, c.Crosses(tt.b, tt.a))
		})
	}
}

func TestOpenWater(t *testing.T) {
	t.Parallel()
	c := loaded(t)
	lisbon := Position{38.7, -9.165}
	at, ok := c.OpenWater(lisbon, 20)
	require.True(t, ok)
	require.True(t, c.Navigable(at))
	require.Less(t, Distance(lisbon, at), NauticalMiles(10))
	_, ok = c.OpenWater(lisbon, 1)
	require.False(t, ok, "none so near")
	_, ok = c.OpenWater(Position{40.4, -3.7}, 60)
	require.False(t, ok, "none near Madrid")
	same, ok := c.OpenWater(Position{30, -40}, 5)
	require.True(t, ok)
	require.Less(t, Distance(Position{30, -40}, same), NauticalMiles(1))
}

// A square island, packed and read again.
func TestCoastRoundTrip(t *testing.T) {
	t.Parallel()
	grid := Grid{LonOrigin: -180, LatOrigin: -90, LonStep: 0.01, LatStep: 0.01, Turn: 36000}
	ring := []GridPoint{{35900, 9000}, {100, 9000}, {100, 9200}, {35900, 9200}, {35900, 9000}} // 0–2°N, 179°E–179°W
	c, err := LoadCoast(packed(t, grid, ring))
	require.NoError(t, err)
	require.True(t, c.OnLand(Position{1, 180}))
	require.True(t, c.OnLand(Position{1, -179.5}))
	require.False(t, c.OnLand(Position{1, 178.9}))
	require.False(t, c.OnLand(Position{-1, 180}))
	require.True(t, c.Crosses(Position{1, 178}, Position{1, -178}))
	nm, way, err := c.OverWater([]Position{{1, 178}, {1, -178}})
	require.NoError(t, err)
	// Round the nearer corner and back, by hand: about 2·√(1²+1²)+2 degrees.
	require.InDelta(t, 60*(2*1.4142+2), float64(nm), 6)
	require.Greater(t, len(way), 2)
}

func packed(t testing.TB, g Grid, rings ...[]GridPoint) fstest.MapFS {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, WriteCoast(&b, g, rings))
	return fstest.MapFS{CoastFile: {Data: b.Bytes()}}
}

// A lagoon closed by land has no way out, and saying so takes no search of the
// whole ocean.
func TestClosedLagoon(t *testing.T) {
	t.Parallel()
	grid := Grid{LonOrigin: -180, LatOrigin: -90, LonStep: 0.01, LatStep: 0.01, Turn: 36000}
	outer := []GridPoint{{18000, 9000}, {18100, 9000}, {18100, 9100}, {18000, 9100}, {18000, 9000}}
	inner := []GridPoint{{18020, 9020}, {18080, 9020}, {18080, 9080}, {18020, 9080}, {18020, 9020}}
	c, err := LoadCoast(packed(t, grid, outer, inner))
	require.NoError(t, err)
	lagoon := Position{0.5, 0.5}
	require.False(t, c.OnLand(lagoon))
	require.False(t, c.Navigable(lagoon))
	_, _, err = c.OverWater([]Position{lagoon, {0.5, 3}})
	require.ErrorIs(t, err, ErrNoWay)
	_, _, err = c.OverWater([]Position{{0.5, 3}, lagoon})
	require.ErrorIs(t, err, ErrNoWay)
	nm, _, err := c.OverWater([]Position{lagoon, {0.6, 0.6}})
	require.NoError(t, err, "within the lagoon there is one")
	require.InDelta(t, 8.5, float64(nm), 0.1)
}

func TestLoadCoastRefuses(t *testing.T) {
	t.Parallel()
	whole, err := seed.FS.ReadFile(CoastFile)
	require.NoError(t, err)
	for name, data := range map[string][]byte{
		"nothing":     nil,
		"no gzip":     []byte("land"),
		"cut off":     whole[:len(whole)/2],
		"other magic": zipped(t, "hardtack coast 9\n"),
		"too long":    zipped(t, magic+string(make([]byte, 32))+"\x00\xff\xff\xff\xff\x0f"),
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			_, err := LoadCoast(fstest.MapFS{CoastFile: {Data: data}})
			require.ErrorIs(t, err, ErrCoast)
			require.ErrorContains(t, err, CoastFile)
		})
	}
	_, err = LoadCoast(fstest.MapFS{})
	require.ErrorContains(t, err, CoastFile)
}

func zipped(t testing.TB, text string) []byte {
	t.Helper()
	var b bytes.Buffer
	z := gzip.NewWriter(&b)
	_, err := io.WriteString(z, text)
	require.NoError(t, err)
	require.NoError(t, z.Close())
	return b.Bytes()
}

func FuzzLoadCoast(f *testing.F) {
	grid := Grid{LonOrigin: -180, LatOrigin: -90, LonStep: 0.01, LatStep: 0.01, Turn: 36000}
	f.Add(encode(grid, [][]GridPoint{{{0, 0}, {100, 0}, {0, 100}, {0, 0}}}, make([]byte, (tileCount+7)/8)))
	f.Fuzz(func(t *testing.T, data []byte) {
		c, err := LoadCoast(fstest.MapFS{CoastFile: {Data: zipped(t, string(data))}})
		if err != nil {
			require.ErrorIs(t, err, ErrCoast)
			return
		}
		c.OnLand(Position{1, 1})
	})
}
