package geo

import "math"

// block is a square of open water: the largest one of the chart around a cell.
type block struct{ gx, gy, size int }

func (b block) centre() Position { return blockCentre(b.gx, b.gy, b.size) }

// blockAt finds the block of open water around a cell; false on land, coast or
// ice.
func (c *Coast) blockAt(gx, gy int) (block, bool) {
	if frozen(gx, gy) {
		return block{}, false
	}
	t := c.tile(tileAt(gx, gy))
	x, y := gx%tileCells, gy%tileCells
	if !t.openAt(0, x, y) {
		return block{}, false
	}
	l := 0
	for l+1 < levels && t.openAt(l+1, x, y) {
		l++
	}
	return block{gx >> l << l, gy >> l << l, 1 << l}, true
}

// neighbours visits the blocks that share a side, or a piece of one, with b.
func (c *Coast) neighbours(b block, visit func(block)) {
	for _, gx := range [2]int{wrap(b.gx-1, cellCols), wrap(b.gx+b.size, cellCols)} {
		for i := 0; i < b.size; {
			n, ok := c.blockAt(gx, b.gy+i)
			if !ok {
				i++
				continue
			}
			visit(n)
			i = n.gy + n.size - b.gy
		}
	}
	for _, gy := range [2]int{b.gy - 1, b.gy + b.size} {
		for i := 0; gy >= 0 && gy < cellRows && i < b.size; {
			n, ok := c.blockAt(b.gx+i, gy)
			if !ok {
				i++
				continue
			}
			visit(n)
			i = n.gx + n.size - b.gx
		}
	}
}

// oceanBlock is the size from which a block counts as open ocean: 1°.
const oceanBlock = cellsPerDegree

// reachesOcean floods from b until it meets a large block, at most limit
// blocks; seen keeps what was flooded, to be handed to the next call.
func (c *Coast) reachesOcean(b block, seen map[block]bool) bool {
	if seen[b] {
		return false
	}
	queue := []block{b}
	seen[b] = true
	found := b.size >= oceanBlock
	for len(queue) > 0 && !found {
		next := queue[0]
		queue = queue[1:]
		c.neighbours(next, func(n block) {
			if !seen[n] {
				seen[n] = true
				queue = append(queue, n)
				found = found || n.size >= oceanBlock
			}
		})
	}
	return found
}

// Navigable says whether p is in water of the chart that is joined to an ocean
// and no coast runs within its cell.
func (c *Coast) Navigable(p Position) bool {
	b, ok := c.blockAt(cellAt(p))
	return ok && c.reachesOcean(b, map[block]bool{})
}

// OpenWater finds the place nearest to p that is joined to an ocean and has
// about half a mile of water on every side; false when there is none within reach.
func (c *Coast) OpenWater(p Position, reach NauticalMiles) (Position, bool) {
	px, py := cellAt(p)
	enclosed := map[block]bool{}
	best, at, found := float64(reach), Position{}, false
	v := p.vector()
	for ring := 0; ; ring++ {
		near := ringNM(py, ring)
		if near > best || ring > cellRows/2 {
			return at, found
		}
		eachOnRing(px, py, ring, func(gx, gy int) {
			q := blockCentre(gx, gy, 1)
			if d := q.vector().nm(v); d <= best && c.roomy(gx, gy) {
				if b, _ := c.blockAt(gx, gy); c.reachesOcean(b, enclosed) {
					enclosed = map[block]bool{}
					best, at, found = d, q, true
				}
			}
		})
	}
}

// ringNM is no more than the distance from a cell to any cell ring cells off.
func ringNM(gy, ring int) float64 {
	lat := max(math.Abs(blockCentre(0, gy, 1).Lat), math.Abs(blockCentre(0, gy+ring, 1).Lat), math.Abs(blockCentre(0, gy-ring, 1).Lat))
	narrow := math.Cos(min(lat, 90) * math.Pi / 180)
	return float64(max(ring-1, 0)) * 60 / cellsPerDegree * narrow
}

// eachOnRing visits the cells of the square ring around a cell.
func eachOnRing(px, py, ring int, visit func(gx, gy int)) {
	for gy := max(py-ring, 0); gy <= min(py+ring, cellRows-1); gy++ {
		step := 1
		if gy > py-ring && gy < py+ring {
			step = 2 * ring
		}
		for x := px - ring; x <= px+ring; x += max(step, 1) {
			visit(wrap(x, cellCols), gy)
		}
	}
}

// roomy says that a cell and the eight around it are all water.
func (c *Coast) roomy(gx, gy int) bool {
	for dy := -1; dy <= 1; dy++ {
		for dx := -1; dx <= 1; dx++ {
			y := gy + dy
			if y < 0 || y >= cellRows {
				return false
			}
			if _, ok := c.blockAt(wrap(gx+dx, cellCols), y); !ok {
				return false
			}
		}
	}
	return true
}
