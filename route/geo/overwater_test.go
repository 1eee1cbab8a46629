package geo_test

import (
	"container/heap"
	"math"
	"math/rand/v2"
	"sync"
	"testing"

	"github.com/stretchr/testify/require"

	"hardtack/pricing"
	"hardtack/route/geo"
	"hardtack/route/port"
	"hardtack/seed"
)

var world = sync.OnceValues(func() (*port.Gazetteer, *geo.Coast) {
	g, err := port.Load(seed.FS)
	if err != nil {
		panic(err)
	}
	c, err := geo.LoadCoast(seed.FS)
	if err != nil {
		panic(err)
	}
	return g, c
})

func approach(t require.TestingT, id pricing.PortID) geo.Position {
	g, _ := world()
	p, ok := g.Port(id)
	require.True(t, ok, "no port %s", id)
	return p.Approach
}

// mostlyOpen are legs whose way over water is at most so much longer than the
// geodesic: an open ocean with an island or a cape in the way.
func TestOceanLegs(t *testing.T) {
	t.Parallel()
	_, c := world()
	for _, tt := range []struct {
		from, to pricing.PortID
		atMost   float64 // of the geodesic
	}{
		{"x-a-coruna", "PTHOR", 1.01},
		{"ESACE", "CVMIN", 1.01},
		{"CVMIN", "GFCAY", 1.001},
		{"GFCAY", "BBBGI", 1.001},
		{"x-st-george-s-bm", "PTHOR", 1.01},
		{"PTHOR", "GBFAL", 1.03},
		{"GBFAL", "x-oban-gb", 1.25},
		{"IEGWY", "x-lerwick", 1.25},
		{"NOBGO", "x-torshavn", 1.01},
		{"x-torshavn", "ISREY", 1.2},
		{"ISREY", "x-nuuk", 1.45},
		{"PABLB", "x-puerto-ayora", 1.05},
		{"x-puerto-ayora", "x-taiohae", 1.005},
		{"x-taiohae", "FJSUV", 1.005},
		{"FJSUV", "x-opua", 1.01},
		{"ZACPT", "AUFRE", 1.02},
		{"x-naha", "USSFO", 1.01},
	} {
		t.Run(string(tt.from+" "+tt.to), func(t *testing.T) {
			t.Parallel()
			a, b := approach(t, tt.from), approach(t, tt.to)
			nm, way, err := c.OverWater([]geo.Position{a, b})
			require.NoError(t, err)
			require.LessOrEqual(t, float64(nm), tt.atMost*float64(geo.Distance(a, b)))
			lawful(t, c, a, b, nm, way)
		})
	}
}

// lawful checks what holds of every way: its ends, its length, no land.
func lawful(t require.TestingT, c *geo.Coast, a, b geo.Position, nm geo.NauticalMiles, way []geo.Position) {
	require.Equal(t, a, way[0])
	require.Equal(t, b, way[len(way)-1])
	require.InDelta(t, float64(geo.Along(way)), float64(nm), 1e-9)
	require.GreaterOrEqual(t, float64(nm), float64(geo.Distance(a, b))-1e-6)
	for i := 1; i < len(way); i++ {
		require.False(t, c.Crosses(way[i-1], way[i]), "%v to %v crosses land", way[i-1], way[i])
	}
}

// Any three ports from the Azores and Cape Verde to Greenland, drawn with a fixed seed.
func TestOverWaterInvariants(t *testing.T) {
	t.Parallel()
	g, c := world()
	all := g.All()[:260]
	draw := rand.New(rand.NewPCG(1, 2))
	port := func() geo.Position { return all[draw.IntN(len(all))].Approach }
	for range 12 {
		a, b, v := port(), port(), port()
		there, way, err := c.OverWater([]geo.Position{a, b})
		require.NoError(t, err)
		lawful(t, c, a, b, there, way)
		back, _, err := c.OverWater([]geo.Position{b, a})
		require.NoError(t, err)
		require.InDelta(t, float64(there), float64(back), 1e-6, "there and back")
		round, _, err := c.OverWater([]geo.Position{a, v, b})
		require.NoError(t, err)
		require.LessOrEqual(t, float64(there), 1.01*float64(round), "no detour is shorter by more than 1 %%")
	}
}

// The Arctic is no short cut, and what is out of reach is said to be.
func TestIceAndReach(t *testing.T) {
	t.Parallel()
	_, c := world()
	tromso, arctic := approach(t, "NOTOS"), geo.Position{Lat: 75, Lon: 150}
	_, _, err := c.OverWater([]geo.Position{tromso, arctic})
	require.ErrorIs(t, err, geo.ErrNotWater)
	require.False(t, c.Navigable(arctic))
	require.True(t, c.Navigable(approach(t, "x-longyearbyen")))
	falmouth, oban := approach(t, "GBFAL"), approach(t, "x-oban-gb")
	_, _, err = c.OverWaterWithin([]geo.Position{falmouth, oban}, 400)
	require.ErrorIs(t, err, geo.ErrTooFar)
	nm, _, err := c.OverWaterWithin([]geo.Position{falmouth, oban}, 500)
	require.NoError(t, err)
	require.Less(t, nm, geo.NauticalMiles(500))
}

func TestOverWaterRefuses(t *testing.T) {
	t.Parallel()
	_, c := world()
	sea, madrid := geo.Position{Lat: 30, Lon: -40}, geo.Position{Lat: 40.4, Lon: -3.7}
	_, _, err := c.OverWater([]geo.Position{sea, madrid})
	require.ErrorIs(t, err, geo.ErrNotWater)
	require.ErrorContains(t, err, "point 2")
	_, _, err = c.OverWater([]geo.Position{{Lat: math.NaN()}, sea})
	require.ErrorIs(t, err, geo.ErrNotWater)
	nm, way, err := c.OverWater(nil)
	require.NoError(t, err)
	require.Zero(t, nm)
	require.Empty(t, way)
	nm, way, err = c.OverWater([]geo.Position{sea, sea})
	require.NoError(t, err)
	require.Zero(t, nm)
	require.Len(t, way, 2)
}

// The second implementation: Dijkstra with a bound to the goal on a plain grid
// of a third of a mile to three miles, 32 directions, each step tested against the coast
// itself. Its directions make it up to 1.4 % too long, and the chart's cells of
// half a mile make ours a little too long.
func TestOverWaterAgainstGrid(t *testing.T) {
	t.Parallel()
	_, c := world()
	for _, leg := range []struct {
		from, to pricing.PortID
		step     float64 // degrees
	}{
		{"GBFAL", "x-dun-laoghaire", 0.05},
		{"GBSOU", "x-weymouth", 0.015},
		{"PTLIS", "ESCAD", 0.05},
		{"PTHOR", "PTADH", 0.01},
		{"x-torshavn", "x-klaksvik", 0.005},
		{"NOBGO", "NOFRO", 0.01},
		{"GDSTG", "x-le-marin", 0.03},
		{"FJSUV", "x-savusavu", 0.03},
	} {
		t.Run(string(leg.from+" "+leg.to), func(t *testing.T) {
			t.Parallel()
			a, b := approach(t, leg.from), approach(t, leg.to)
			nm, _, err := c.OverWater([]geo.Position{a, b})
			require.NoError(t, err)
			want := gridWay(c, a, b, leg.step)
			require.InDelta(t, 1, float64(nm)/want, 0.02, "ours %.1f, grid %.1f", nm, want)
		})
	}
}

type cell struct{ x, y int }

type ranked struct {
	cell
	gone, rank float64
}

type ranking []ranked

func (q ranking) Len() int           { return len(q) }
func (q ranking) Less(i, j int) bool { return q[i].rank < q[j].rank }
func (q ranking) Swap(i, j int)      { q[i], q[j] = q[j], q[i] }
func (q *ranking) Push(x any)        { *q = append(*q, x.(ranked)) }
func (q *ranking) Pop() any {
	old := *q
	x := old[len(old)-1]
	*q = old[:len(old)-1]
	return x
}

// gridWay counts from a, the grid's origin, until a step away from b.
func gridWay(c *geo.Coast, a, b geo.Position, step float64) float64 {
	at := func(k cell) geo.Position {
		return geo.Position{Lat: a.Lat + float64(k.y)*step, Lon: turn(a.Lon + float64(k.x)*step)}
	}
	queue, done := &ranking{{}}, map[cell]bool{}
	best := math.Inf(1)
	for queue.Len() > 0 {
		k := heap.Pop(queue).(ranked)
		if k.rank >= best {
			return best
		}
		if done[k.cell] {
			continue
		}
		done[k.cell] = true
		here := at(k.cell)
		if geo.Distance(here, b) < 10 && !c.Crosses(here, b) {
			best = min(best, k.gone+float64(geo.Distance(here, b)))
		}
		for _, d := range directions {
			next := cell{k.x + d.x, k.y + d.y}
			if there := at(next); !done[next] && !c.Crosses(here, there) {
				gone := k.gone + float64(geo.Distance(here, there))
				heap.Push(queue, ranked{next, gone, gone + float64(geo.Distance(there, b))})
			}
		}
	}
	return best
}

func turn(lon float64) float64 { return lon - 360*math.Round(lon/360) }

// directions are the steps of up to three cells that are no multiple of another.
var directions = func() []cell {
	var out []cell
	for x := -3; x <= 3; x++ {
		for y := -3; y <= 3; y++ {
			if gcd(x, y) == 1 {
				out = append(out, cell{x, y})
			}
		}
	}
	return out
}()

func gcd(a, b int) int {
	for b != 0 {
		a, b = b, a%b
	}
	return max(a, -a)
}
