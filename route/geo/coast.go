package geo

import (
	"compress/gzip"
	"fmt"
	"io/fs"
	"math"
	"sync/atomic"
)

// CoastFile is where LoadCoast finds the coastline in the seed data.
const CoastFile = "coastline/land-10m.bin.gz"

// Coast is a coastline to measure around. It may be used by several
// goroutines at once. Its data are Natural Earth's at 1:10 million: a few
// hundred metres coarse, without rocks, reefs and most atoll rims. Not for
// navigation.
type Coast struct {
	points []Position // rings one after another, each closed; longitudes unwrapped
	index  buckets
	ends   []int32 // last point of each ring
	refs   []byte  // one bit per tile: its first cell's centre is land

	tiles [tileCount]atomic.Pointer[tile] // drawn when first needed
}

func floatBits(f float64) uint64 { return math.Float64bits(f) }
func floatFrom(b uint64) float64 { return math.Float64frombits(b) }

// LoadCoast reads CoastFile. The error is ErrCoast when it is damaged.
func LoadCoast(files fs.FS) (*Coast, error) {
	f, err := files.Open(CoastFile)
	if err != nil {
		return nil, fmt.Errorf("open coastline: %w", err)
	}
	defer f.Close()
	z, err := gzip.NewReader(f)
	if err != nil {
		return nil, fmt.Errorf("read %s: %w: %w", CoastFile, ErrCoast, err)
	}
	g, rings, bits, err := decode(z)
	if err != nil {
		return nil, fmt.Errorf("read %s: %w", CoastFile, err)
	}
	if err := checkGrid(g, rings); err != nil {
		return nil, fmt.Errorf("read %s: %w: %w", CoastFile, ErrCoast, err)
	}
	c := newCoast(unpack(g, rings))
	c.refs = bits
	return c, nil
}

// checkGrid refuses positions off the Earth, which would fall out of the index.
func checkGrid(g Grid, rings [][]GridPoint) error {
	for i, ring := range rings {
		for _, p := range ring {
			q := g.position(p)
			if !(math.Abs(q.Lat) <= 90 && math.Abs(q.Lon) <= 3*180) {
				return fmt.Errorf("ring %d leaves the Earth at latitude %v, longitude %v", i, q.Lat, q.Lon)
			}
		}
	}
	return nil
}

func (g Grid) position(p GridPoint) Position {
	return Position{
		Lat: g.LatOrigin + float64(p.Y)*g.LatStep,
		Lon: g.LonOrigin + float64(p.X)*g.LonStep,
	}
}

// unpack gives the rings as positions and, for each, whether the segment to
// the next one belongs to a ring.
func unpack(g Grid, rings [][]GridPoint) ([]Position, []bool) {
	n := 0
	for _, ring := range rings {
		n += len(ring)
	}
	points, joined := make([]Position, 0, n), make([]bool, 0, n)
	for _, ring := range rings {
		var x int64
		for i, p := range ring {
			if i == 0 {
				x = p.X
			} else {
				x += shortWay(p.X-ring[i-1].X, g.Turn)
			}
			points = append(points, g.position(GridPoint{x, p.Y}))
			joined = append(joined, i+1 < len(ring))
		}
	}
	return points, joined
}

func newCoast(points []Position, joined []bool) *Coast {
	c := &Coast{points: points, index: newBuckets(points, joined)}
	for i, ok := range joined {
		if !ok {
			c.ends = append(c.ends, int32(i))
		}
	}
	return c
}

// segment gives the ends of segment i, in the turn of longitudes nearest to near.
func (c *Coast) segment(i int32, near float64) (a, b Position) {
	a, b = c.points[i], c.points[i+1]
	shift := 360 * math.Round((near-a.Lon)/360)
	a.Lon += shift
	b.Lon += shift
	return a, b
}
