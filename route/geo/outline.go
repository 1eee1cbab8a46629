package geo

import (
	"math"
	"slices"
)

// Box is a piece of a chart: degrees, West < East, beyond ±180 where it lies
// across the antimeridian.
type Box struct {
	South, West, North, East float64
}

// Outline gives the land inside a box as closed rings for drawing, in the
// box's own longitudes, cut at its edges. What bends less than coarse degrees
// of latitude is drawn straight, and islands smaller than half of that are left
// out. Not for navigation.
func (c *Coast) Outline(b Box, coarse float64) [][]Position {
	var out [][]Position
	from := 0
	for _, end := range c.ends {
		ring := c.points[from : end+1]
		from = int(end) + 1
		if box := around(ring); max(box.North-box.South, box.East-box.West) >= coarse/2 {
			for turn := math.Ceil((b.West - box.East) / 360); box.West+360*turn < b.East; turn++ {
				if box.South < b.North && box.North > b.South {
					out = append(out, cut(ring, b, 360*turn, coarse)...)
				}
			}
		}
	}
	return out
}

func around(ring []Position) Box {
	b := Box{South: 90, North: -90, West: math.Inf(1), East: math.Inf(-1)}
	for _, p := range ring {
		b.South, b.North = min(b.South, p.Lat), max(b.North, p.Lat)
		b.West, b.East = min(b.West, p.Lon), max(b.East, p.Lon)
	}
	return b
}

// cut is a ring shifted by degrees of longitude, clipped to a box and
// simplified; nothing when nothing is left.
func cut(ring []Position, b Box, shift, coarse float64) [][]Position {
	moved := make([]Position, len(ring))
	for i, p := range ring {
		moved[i] = Position{p.Lat, p.Lon + shift}
	}
	if end := len(moved) - 1; math.Abs(moved[end].Lon-moved[0].Lon) > 180 { // round a pole
		pole := math.Copysign(90, moved[0].Lat)
		moved = append(moved, Position{pole, moved[end].Lon}, Position{pole, moved[0].Lon})
	}
	squeeze := math.Cos((b.South + b.North) / 2 * math.Pi / 180)
	left := clip(moved, b)
	if len(left) < 3 {
		return nil
	}
	return [][]Position{straighten(left, coarse, squeeze)}
}

// clip cuts a polygon at the four edges of a box, one after the other
// (Sutherland and Hodgman, Communications of the ACM 17(1), 1974).
func clip(ring []Position, b Box) []Position {
	lat := func(p Position) float64 { return p.Lat }
	lon := func(p Position) float64 { return p.Lon }
	for _, e := range []struct {
		of    func(Position) float64
		at    float64
		above bool
	}{{lat, b.South, true}, {lat, b.North, false}, {lon, b.West, true}, {lon, b.East, false}} {
		inside := func(p Position) bool { return (e.of(p) >= e.at) == e.above || e.of(p) == e.at }
		var out []Position
		for i, p := range ring {
			q := ring[(i+1)%len(ring)]
			if inside(p) {
				out = append(out, p)
			}
			if inside(p) != inside(q) {
				t := (e.at - e.of(p)) / (e.of(q) - e.of(p))
				out = append(out, Position{p.Lat + t*(q.Lat-p.Lat), p.Lon + t*(q.Lon-p.Lon)})
			}
		}
		ring = out
	}
	return ring
}

// straighten drops points of a closed ring that lie within coarse of the line
// without them (Douglas and Peucker, Cartographica 10(2), 1973). Longitudes
// count squeeze times.
func straighten(ring []Position, coarse, squeeze float64) []Position {
	far := 0
	for i, p := range ring {
		if apart(p, ring[0], squeeze) > apart(ring[far], ring[0], squeeze) {
			far = i
		}
	}
	keep := make([]bool, len(ring)+1)
	closed := append(slices.Clone(ring), ring[0])
	for _, ends := range [][2]int{{0, far}, {far, len(ring)}} {
		mark(closed, ends[0], ends[1], coarse, squeeze, keep)
	}
	var out []Position
	for i, p := range ring {
		if keep[i] {
			out = append(out, p)
		}
	}
	return out
}

func mark(points []Position, from, to int, coarse, squeeze float64, keep []bool) {
	keep[from], keep[to] = true, true
	worst, at := coarse, -1
	for i := from + 1; i < to; i++ {
		if d := offLine(points[i], points[from], points[to], squeeze); d > worst {
			worst, at = d, i
		}
	}
	if at >= 0 {
		mark(points, from, at, coarse, squeeze, keep)
		mark(points, at, to, coarse, squeeze, keep)
	}
}

func apart(p, q Position, squeeze float64) float64 {
	return math.Hypot(p.Lat-q.Lat, (p.Lon-q.Lon)*squeeze)
}

// offLine is how far p lies from the line piece between a and b.
func offLine(p, a, b Position, squeeze float64) float64 {
	px, py := (p.Lon-a.Lon)*squeeze, p.Lat-a.Lat
	bx, by := (b.Lon-a.Lon)*squeeze, b.Lat-a.Lat
	t := 0.0
	if long := bx*bx + by*by; long > 0 {
		t = min(1, max(0, (px*bx+py*by)/long))
	}
	return math.Hypot(px-t*bx, py-t*by)
}
