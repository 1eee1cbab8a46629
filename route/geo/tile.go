package geo

import (
	"math"
	"slices"
)

// The sea chart: the Earth cut into tiles of 2°, each tile into cells of 1/128°
// (0.47 nm of latitude). A cell is coastal when a coast runs through it, else
// it is all land or all water. Tiles are drawn when first needed.
const (
	cellsPerDegree = 128
	tileCells      = 256
	tileCols       = 360 * cellsPerDegree / tileCells
	tileRows       = 180 * cellsPerDegree / tileCells
	tileCount      = tileCols * tileRows
	cellCols       = tileCols * tileCells
	cellRows       = tileRows * tileCells
	levels         = 8 // blocks of 1, 2, 4 … 128 cells a side: larger ones lead ways astray
)

type state uint8

const (
	water state = iota
	land
	coastal
)

// tile has, level by level, which blocks are nothing but water. A tile without
// coast has no blocks, only its state.
type tile struct {
	ref     Position // centre of the first cell
	refLand bool
	cells   []state // nil: all as refLand says
	open    [levels][]bool
}

func cellAt(p Position) (gx, gy int) {
	gx = wrap(int(math.Floor((p.Lon+180)*cellsPerDegree)), cellCols)
	gy = int(math.Floor((p.Lat + 90) * cellsPerDegree))
	return gx, min(max(gy, 0), cellRows-1)
}

// blockCentre is the middle of a block of size cells a side.
func blockCentre(gx, gy, size int) Position {
	half := float64(size) / 2
	return Position{
		Lat: (float64(gy)+half)/cellsPerDegree - 90,
		Lon: (float64(gx)+half)/cellsPerDegree - 180,
	}
}

func tileAt(gx, gy int) int { return gy/tileCells*tileCols + gx/tileCells }

// tile draws tile k unless it is there.
func (c *Coast) tile(k int) *tile {
	t := c.tiles[k].Load()
	if t == nil { // two goroutines may both draw it: the same tile
		t = c.draw(k, c.refs[k/8]>>(k%8)&1 == 1)
		c.tiles[k].Store(t)
	}
	return t
}

func (c *Coast) draw(k int, refLand bool) *tile {
	gx, gy := k%tileCols*tileCells, k/tileCols*tileCells
	t := &tile{ref: blockCentre(gx, gy, 1), refLand: refLand}
	segs := c.around(gx, gy)
	if len(segs) == 0 {
		return t
	}
	t.cells = make([]state, tileCells*tileCells)
	p := painter{t: t, gx: gx, gy: gy, turns: make([]uint8, tileCells*(tileCells+1))}
	for _, s := range segs {
		a, b := c.segment(s, t.ref.Lon)
		p.mark(a, b)
		p.turn(a, b)
	}
	p.fill()
	t.buildLevels()
	return t
}

// around gives each segment in or next to the tile once.
func (c *Coast) around(gx, gy int) []int32 {
	const eps = 1e-9
	lo := Position{Lat: float64(gy)/cellsPerDegree - 90 + eps, Lon: float64(gx)/cellsPerDegree - 180 + eps}
	side := float64(tileCells)/cellsPerDegree - 2*eps
	var segs []int32
	eachBucket(lo, Position{Lat: lo.Lat + side, Lon: lo.Lon + side}, func(b int) {
		segs = append(segs, c.index.at(b)...)
	})
	slices.Sort(segs)
	return slices.Compact(segs)
}

// painter draws one tile. turns counts, for each row's centre line, the coasts
// met between one cell's centre and the next; its last column serves the line
// up the first column's centres.
type painter struct {
	t      *tile
	gx, gy int
	turns  []uint8
}

// local brings p into cells from the tile's corner.
func (p *painter) local(q Position) (x, y float64) {
	return (q.Lon+180)*cellsPerDegree - float64(p.gx), (q.Lat+90)*cellsPerDegree - float64(p.gy)
}

// mark makes every cell coastal that the segment touches.
func (p *painter) mark(a, b Position) {
	ax, ay := p.local(a)
	bx, by := p.local(b)
	y0, y1 := clampCell(math.Min(ay, by)), clampCell(math.Max(ay, by))
	for y := y0; y <= y1; y++ {
		lo, hi := spanInRow(ax, ay, bx, by, float64(y))
		if hi < 0 || lo >= tileCells || math.Max(ay, by) < 0 || math.Min(ay, by) >= tileCells {
			continue
		}
		for x := clampCell(lo); x <= clampCell(hi); x++ {
			p.t.cells[y*tileCells+x] = coastal
		}
	}
}

// spanInRow is the stretch of x that the segment covers in the row from y to y+1.
func spanInRow(ax, ay, bx, by, y float64) (lo, hi float64) {
	if ay > by {
		ax, ay, bx, by = bx, by, ax, ay
	}
	if ay == by {
		return math.Min(ax, bx), math.Max(ax, bx)
	}
	at := func(t float64) float64 { return ax + (bx-ax)*min(max(t, 0), 1) }
	from, to := at((y-ay)/(by-ay)), at((y+1-ay)/(by-ay))
	return math.Min(from, to), math.Max(from, to)
}

func clampCell(v float64) int { return int(min(max(math.Floor(v), 0), tileCells-1)) }

// turn notes where the segment meets the centre lines.
func (p *painter) turn(a, b Position) {
	ax, ay := p.local(a)
	bx, by := p.local(b)
	for y := clampCell(math.Min(ay, by) - 1); y <= clampCell(math.Max(ay, by)); y++ {
		line := float64(y) + 0.5
		if (ay > line) == (by > line) {
			continue
		}
		x := ax + (line-ay)/(by-ay)*(bx-ax)
		if k := int(math.Ceil(x - 0.5)); k >= 1 && k < tileCells {
			p.turns[y*(tileCells+1)+k]++
		}
	}
	if (ax > 0.5) == (bx > 0.5) {
		return
	}
	y := ay + (0.5-ax)/(bx-ax)*(by-ay)
	if k := int(math.Ceil(y - 0.5)); k >= 1 && k < tileCells {
		p.turns[k*(tileCells+1)+tileCells]++
	}
}

// fill tells land from water in the cells no coast touches.
func (p *painter) fill() {
	up := p.t.refLand
	for y := range tileCells {
		row := p.turns[y*(tileCells+1) : (y+1)*(tileCells+1)]
		up = up != (row[tileCells]%2 == 1)
		here := up
		for x := range tileCells {
			here = here != (row[x]%2 == 1)
			if cell := &p.t.cells[y*tileCells+x]; *cell != coastal && here {
				*cell = land
			}
		}
	}
}

func (t *tile) buildLevels() {
	n := tileCells
	t.open[0] = make([]bool, n*n)
	for i, s := range t.cells {
		t.open[0][i] = s == water
	}
	for l := 1; l < levels; l++ {
		below, m := t.open[l-1], n/2
		t.open[l] = make([]bool, m*m)
		for i := range t.open[l] {
			k := i/m*2*n + i%m*2
			t.open[l][i] = below[k] && below[k+1] && below[k+n] && below[k+n+1]
		}
		n = m
	}
}

func (t *tile) state(x, y int) state {
	switch {
	case t.cells != nil:
		return t.cells[y*tileCells+x]
	case t.refLand:
		return land
	}
	return water
}

// openAt says whether the block of level l around cell x, y is all water.
func (t *tile) openAt(l, x, y int) bool {
	if t.cells == nil {
		return !t.refLand
	}
	return t.open[l][(y>>l)*(tileCells>>l)+x>>l]
}

// referenceBits finds land or water for each tile's first cell from the coast
// alone: down each first column's centre line from the Arctic Ocean.
func (c *Coast) referenceBits() []byte {
	bits := make([]byte, (tileCount+7)/8)
	for col := range tileCols {
		last := blockCentre(col*tileCells, cellRows-1, 1)
		isLand := false
		for row := tileRows - 1; row >= 0; row-- {
			ref := blockCentre(col*tileCells, row*tileCells, 1)
			isLand = isLand != (c.count(last, ref)%2 == 1)
			last = ref
			if k := row*tileCols + col; isLand {
				bits[k/8] |= 1 << (k % 8)
			}
		}
	}
	return bits
}
