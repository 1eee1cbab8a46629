package web

import (
	"math"
	"strings"

	"hardtack/pricing"
	"hardtack/route/geo"
	"hardtack/route/port"
)

// mapChart is the route on a Mercator chart with the coastline. Circles are
// as large as what is spent there. Its table is the stops of the season page.
type mapChart struct {
	W, H    float64
	Land    string // path
	Ways    []string
	Ports   []portMark
	Grid    []span
	Degrees []mark
}

type portMark struct {
	X, Y, R float64
	LX, LY  float64 // of the number
	Lead    bool    // the number stands off, a line leads to it
	Label   string
	N       string
}

// first is the first of its stops.
func (p portMark) first() string {
	n, _, _ := strings.Cut(p.N, ",")
	return n
}

const (
	mapW    = 720.0
	mapMost = 560.0 // height
	mapFine = 1.2   // units within which a coast is drawn straight
)

// northing is Mercator's, in degrees at the equator (sphere).
func northing(lat float64) float64 {
	r := min(max(lat, -84), 84) * math.Pi / 180
	return math.Log(math.Tan(math.Pi/4+r/2)) * 180 / math.Pi
}

// southing is its inverse.
func southing(y float64) float64 {
	return (2*math.Atan(math.Exp(y*math.Pi/180)) - math.Pi/2) * 180 / math.Pi
}

type mapper struct {
	west, north, scale float64
}

func (m mapper) at(p geo.Position) (x, y float64) {
	return (p.Lon - m.west) * m.scale, (m.north - northing(p.Lat)) * m.scale
}

// closer is a piece of the chart: around a stop, so many times as large.
type closer struct {
	stop int
	zoom float64
}

func newMap(coast *geo.Coast, g *port.Gazetteer, tracks [][]geo.Position, rows []stopRow, look closer) mapChart {
	tracks, at := unwrapped(g, tracks, rows)
	b, c := frameOf(tracks, at)
	if look.zoom > 1 {
		b = narrowed(b, at[look.stop], look.zoom)
	}
	m := mapper{west: b.West, north: northing(b.North), scale: c.W / (b.East - b.West)}
	coarse := mapFine / m.scale
	var land trail
	for _, ring := range coast.Outline(b, coarse) {
		for i, p := range ring {
			x, y := m.at(p)
			land.to(i == 0, x, y)
		}
		land.WriteByte('Z')
	}
	c.Land = land.String()
	for _, way := range tracks {
		var d trail
		for i, p := range way {
			x, y := m.at(p)
			d.to(i == 0, x, y)
		}
		c.Ways = append(c.Ways, d.String())
	}
	c.grid(b, m)
	spots := make([]point, len(at))
	for i := range at {
		spots[i].x, spots[i].y = m.at(at[i])
	}
	c.ports(rows, spots)
	return c
}

// unwrapped lays tracks and ports end to end across the antimeridian.
func unwrapped(g *port.Gazetteer, tracks [][]geo.Position, rows []stopRow) ([][]geo.Position, []geo.Position) {
	last, begun := 0.0, false
	near := func(p geo.Position) geo.Position {
		if begun {
			p.Lon += 360 * math.Round((last-p.Lon)/360)
		}
		last, begun = p.Lon, true
		return p
	}
	var ways [][]geo.Position
	var at []geo.Position
	way := 0
	for i, r := range rows {
		p, _ := g.Port(pricing.PortID(r.Port))
		at = append(at, near(p.Position))
		if i+1 < len(rows) && rows[i+1].Port == r.Port || way >= len(tracks) {
			continue // the same call goes on
		}
		var moved []geo.Position
		for _, q := range tracks[way] {
			moved = append(moved, near(q))
		}
		ways = append(ways, moved)
		way++
	}
	return ways, at
}

// frameOf is the piece of chart that has it all with some room around, and its
// size.
func frameOf(ways [][]geo.Position, at []geo.Position) (geo.Box, mapChart) {
	b := around(append(ways, at))
	room := max(0.08*max(b.East-b.West, northing(b.North)-northing(b.South)), 0.6)
	b.West, b.East = b.West-room, b.East+room
	high, low := northing(b.North)+room, northing(b.South)-room
	if wide := b.East - b.West; high-low > wide*mapMost/mapW { // too tall: wider
		more := ((high-low)*mapW/mapMost - wide) / 2
		b.West, b.East = b.West-more, b.East+more
	} else if least := wide * 0.45; high-low < least { // too flat: taller
		more := (least - (high - low)) / 2
		high, low = high+more, low-more
	}
	b.North, b.South = southing(high), southing(low)
	return b, mapChart{W: mapW, H: px(mapW * (high - low) / (b.East - b.West))}
}

// narrowed is a box around a point, so many times smaller and of the same
// shape on the chart.
func narrowed(b geo.Box, p geo.Position, zoom float64) geo.Box {
	wide, high := (b.East-b.West)/zoom, (northing(b.North)-northing(b.South))/zoom
	y := northing(p.Lat)
	return geo.Box{West: p.Lon - wide/2, East: p.Lon + wide/2, North: southing(y + high/2), South: southing(y - high/2)}
}

func around(lines [][]geo.Position) geo.Box {
	b := geo.Box{South: 90, North: -90, West: math.Inf(1), East: math.Inf(-1)}
	for _, line := range lines {
		for _, p := range line {
			b.South, b.North = min(b.South, p.Lat), max(b.North, p.Lat)
			b.West, b.East = min(b.West, p.Lon), max(b.East, p.Lon)
		}
	}
	return b
}

// grid draws meridians and parallels at round degrees.
func (c *mapChart) grid(b geo.Box, m mapper) {
	step := niceStep(b.East-b.West, 5)
	for lon := math.Ceil(b.West/step) * step; lon < b.East; lon += step {
		x, _ := m.at(geo.Position{Lon: lon})
		c.Grid = append(c.Grid, span{px(x), 0, px(x), c.H})
		c.Degrees = append(c.Degrees, mark{px(x + 3), c.H - 4, degrees(lon, "E", "W")})
	}
	for lat := math.Ceil(b.South/step) * step; lat < b.North; lat += step {
		_, y := m.at(geo.Position{Lat: lat})
		c.Grid = append(c.Grid, span{0, px(y), c.W, px(y)})
		c.Degrees = append(c.Degrees, mark{3, px(y - 3), degrees(lat, "N", "S")})
	}
}

func degrees(x float64, pos, neg string) string {
	x = math.Remainder(x, 360)
	if x < 0 {
		return trim(-x, 1) + "°" + neg
	}
	return trim(x, 1) + "°" + pos
}
