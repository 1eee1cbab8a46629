package simplex

import "math"

// reinvert rids the inverse of what rounding has gathered, by Gauss-Jordan
// elimination with row choice.
func (l *LP) reinvert() {
	m := len(l.basis)
	work := make([][]float64, m)
	for i := range work {
		work[i] = make([]float64, 2*m)
		work[i][m+i] = 1
	}
	for k, c := range l.basis {
		for _, e := range l.columns[c].entries {
			work[e.Row][k] = e.Value
		}
	}
	for k := range m {
		if !l.eliminate(work, k) {
			return // singular to working precision: keep what there is
		}
	}
	for i := range work {
		copy(l.inverse[i], work[i][m:])
		l.x[i] = 0
		for j, b := range l.rhs {
			l.x[i] += l.inverse[i][j] * b
		}
	}
	l.price()
}

func (l *LP) eliminate(work [][]float64, k int) bool {
	best := k
	for i := k; i < len(work); i++ {
		if math.Abs(work[i][k]) > math.Abs(work[best][k]) {
			best = i
		}
	}
	if math.Abs(work[best][k]) < 1e-11 {
		return false
	}
	work[k], work[best] = work[best], work[k]
	scale := 1 / work[k][k]
	l.filled = l.filled[:0]
	for j := k; j < len(work[k]); j++ {
		if work[k][j] != 0 {
			work[k][j] *= scale
			l.filled = append(l.filled, j)
		}
	}
	for i := range work {
		if f := work[i][k]; i != k && f != 0 {
			subtract(work[i], work[k], f, l.filled)
		}
	}
	return true
}

// subtract takes a multiple of a row off another one; filled says where that
// row is not zero.
func subtract(from, row []float64, times float64, filled []int) {
	for _, j := range filled {
		from[j] -= times * row[j]
	}
}
