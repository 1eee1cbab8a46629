package simplex

// entryOf is what a column has in a row that is known.
type entryOf struct {
	column int32
	value  float64
}

// firstInStrip is how many entries a row has room for at first.
const firstInStrip = 16

// strips are the rows of so many unit columns.
func strips(rows int) [][]entryOf {
	strips := make([][]entryOf, rows)
	all := make([]entryOf, rows*firstInStrip)
	for i := range strips {
		strip := all[i*firstInStrip : i*firstInStrip+1 : (i+1)*firstInStrip]
		strip[0] = entryOf{int32(i), 1}
		strips[i] = strip
	}
	return strips
}

// ended are strips without room behind them, so that what is added to one copy is
// not seen in another.
func ended(strips [][]entryOf) [][]entryOf {
	ended := make([][]entryOf, len(strips))
	for i, s := range strips {
		ended[i] = s[:len(s):len(s)]
	}
	return ended
}

// alongAll is what the weighted sum of some rows has in every column. Of a row of
// the inverse, or of all prices, few count: so it is quicker by rows than by
// columns.
func (l *LP) alongAll(weights, to []float64) {
	clear(to)
	for row, w := range weights {
		if w == 0 {
			continue
		}
		for _, e := range l.strips[row] {
			to[e.column] += w * e.value
		}
	}
}
