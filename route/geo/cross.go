package geo

import "math"

// pieceNM is how long a line is taken for straight on the plate carrée. At 65°
// of latitude its middle is then 0.05 nm off the great circle, a quarter of the
// coastline's own coarseness.
const pieceNM = 25

// Crosses says whether the great circle from a to b touches land.
func (c *Coast) Crosses(a, b Position) bool {
	return !c.clear(a.vector(), b.vector()) || c.OnLand(a)
}

// clear says that no coast lies between v and w.
func (c *Coast) clear(v, w vector) bool {
	n := pieces(v, w)
	from := v.position()
	for i := 1; i <= n; i++ {
		to := v.between(w, float64(i)/float64(n)).position()
		to.Lon += 360 * math.Round((from.Lon-to.Lon)/360)
		if c.touches(from, to) {
			return false
		}
		from = to
	}
	return true
}

// pieces is into how many a great circle is cut.
func pieces(v, w vector) int { return max(1, int(math.Ceil(v.nm(w)/pieceNM))) }

// touches tests a short straight line against the segments around it.
func (c *Coast) touches(p, q Position) bool {
	x0, x1 := bucketCol(math.Min(p.Lon, q.Lon)), bucketCol(math.Max(p.Lon, q.Lon))
	y0, y1 := bucketRow(math.Min(p.Lat, q.Lat)), bucketRow(math.Max(p.Lat, q.Lat))
	for y := y0; y <= y1; y++ {
		for x := x0; x <= x1; x++ {
			for _, s := range c.index.at(y*bucketCols + wrap(x, bucketCols)) {
				a, b := c.segment(s, p.Lon)
				if intersect(p, q, a, b) {
					return true
				}
			}
		}
	}
	return false
}

// intersect says whether the straight lines p–q and a–b share a point, ends included.
func intersect(p, q, a, b Position) bool {
	if math.Max(a.Lat, b.Lat) < math.Min(p.Lat, q.Lat) || math.Min(a.Lat, b.Lat) > math.Max(p.Lat, q.Lat) ||
		math.Max(a.Lon, b.Lon) < math.Min(p.Lon, q.Lon) || math.Min(a.Lon, b.Lon) > math.Max(p.Lon, q.Lon) {
		return false
	}
	return side(p, q, a)*side(p, q, b) <= 0 && side(a, b, p)*side(a, b, q) <= 0
}

// side is positive when r lies left of the line p–q.
func side(p, q, r Position) float64 {
	return (q.Lon-p.Lon)*(r.Lat-p.Lat) - (q.Lat-p.Lat)*(r.Lon-p.Lon)
}

// OnLand says whether p lies on land.
func (c *Coast) OnLand(p Position) bool {
	gx, gy := cellAt(p)
	t := c.tile(tileAt(gx, gy))
	land := t.state(gx%tileCells, gy%tileCells) == land
	if t.state(gx%tileCells, gy%tileCells) != coastal {
		return land
	}
	return c.parity(t.refLand, t.ref, p)
}

// parity walks from a place of known state to p, east-west first, and turns
// land to water and back at every coast met.
func (c *Coast) parity(refLand bool, ref, p Position) bool {
	corner := Position{Lat: ref.Lat, Lon: p.Lon + 360*math.Round((ref.Lon-p.Lon)/360)}
	met := c.count(ref, corner) + c.count(corner, Position{Lat: p.Lat, Lon: corner.Lon})
	return refLand != (met%2 == 1)
}

// count is how many coast segments an axis-parallel line meets. A point of
// the coast on the line itself counts as beyond it, so none is met twice.
func (c *Coast) count(p, q Position) int {
	n := 0
	seen := map[int32]bool{}
	eachBucket(p, q, func(k int) {
		for _, s := range c.index.at(k) {
			if a, b := c.segment(s, p.Lon); !seen[s] && meets(p, q, a, b) {
				seen[s] = true
				n++
			}
		}
	})
	return n
}

func meets(p, q, a, b Position) bool {
	if p.Lat == q.Lat {
		p.Lat, p.Lon, q.Lat, q.Lon = p.Lon, p.Lat, q.Lon, q.Lat
		a.Lat, a.Lon, b.Lat, b.Lon = a.Lon, a.Lat, b.Lon, b.Lat
	}
	if (a.Lon > p.Lon) == (b.Lon > p.Lon) {
		return false
	}
	at := a.Lat + (p.Lon-a.Lon)/(b.Lon-a.Lon)*(b.Lat-a.Lat)
	return (at > p.Lat) != (at > q.Lat)
}
