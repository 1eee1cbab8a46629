package geo

import "math"

// inSight says that the great circle from v to w stays in cells of the chart
// that are all water. Both ends must.
func (c *Coast) inSight(v, w vector) bool {
	n := pieces(v, w)
	from := v.position()
	for i := 1; i <= n; i++ {
		to := v.between(w, float64(i)/float64(n)).position()
		to.Lon += 360 * math.Round((from.Lon-to.Lon)/360)
		if !c.wet(from, to) {
			return false
		}
		from = to
	}
	return true
}

// wet walks a short straight line from block to block, always forwards: each
// step leaves a block through the side the line leaves it by.
func (c *Coast) wet(p, q Position) bool {
	x, y := (p.Lon+180)*cellsPerDegree, (p.Lat+90)*cellsPerDegree
	dx, dy := (q.Lon-p.Lon)*cellsPerDegree, (q.Lat-p.Lat)*cellsPerDegree
	cx, cy := int(math.Floor(x)), int(math.Floor(y))
	for cy >= 0 && cy < cellRows {
		b, ok := c.blockAt(wrap(cx, cellCols), cy)
		if !ok {
			return false
		}
		b.gx += cx - wrap(cx, cellCols) // in the line's own turn of longitudes
		tx, ty := leaves(x, dx, b.gx, b.size), leaves(y, dy, b.gy, b.size)
		if min(tx, ty) >= 1 {
			return true
		}
		if tx < ty {
			cx = beyond(dx, b.gx, b.size)
			cy = within(y+tx*dy, b.gy, b.size)
		} else {
			cx = within(x+ty*dx, b.gx, b.size)
			cy = beyond(dy, b.gy, b.size)
		}
	}
	return false
}

// leaves is the share of the line at which a coordinate leaves from … from+size.
func leaves(at, d float64, from, size int) float64 {
	switch {
	case d > 0:
		return (float64(from+size) - at) / d
	case d < 0:
		return (float64(from) - at) / d
	}
	return inf
}

func beyond(d float64, from, size int) int {
	if d > 0 {
		return from + size
	}
	return from - 1
}

func within(at float64, from, size int) int {
	return min(max(int(math.Floor(at)), from), from+size-1)
}
