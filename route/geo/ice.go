package geo

// The Arctic Ocean from 60°E eastwards to 90°W north of 66°N, and all south of
// 66°S, count as closed: ice, and no passage to fall into by measuring. Common
// practice, no source. Ports of the Norwegian, Greenland and Barents Seas are
// outside.
const (
	arcticRow    = (66 + 90) * cellsPerDegree / tileCells
	arcticFrom   = (60 + 180) * cellsPerDegree / tileCells
	arcticTo     = (-90 + 180) * cellsPerDegree / tileCells
	antarcticRow = (-66 + 90) * cellsPerDegree / tileCells
)

// frozen says that a cell's tile is closed by ice.
func frozen(gx, gy int) bool {
	row, col := gy/tileCells, gx/tileCells
	return row < antarcticRow || row >= arcticRow && (col >= arcticFrom || col < arcticTo)
}

// icy says that the great circle from v to w passes closed water.
func icy(v, w vector) bool {
	n := pieces(v, w)
	for i := range n + 1 {
		if frozen(cellAt(v.between(w, float64(i)/float64(n)).position())) {
			return true
		}
	}
	return false
}
