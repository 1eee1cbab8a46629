package simplex

import "math"

// Renew rids the solution of what rounding has gathered when that has come to
// more than is allowed, as a part of the largest right-hand side.
func (l *LP) Renew(allowed float64) {
	scale := 1.0
	for _, b := range l.rhs {
		scale = max(scale, b)
	}
	for _, off := range l.off() {
		if !(math.Abs(off) <= allowed*scale) { // a NaN is too much too
			l.reinvert()
			return
		}
	}
}

// off is by how much the solution misses each row.
func (l *LP) off() []float64 {
	off := append([]float64(nil), l.rhs...)
	for i, c := range l.basis {
		for _, e := range l.columns[c].entries {
			off[e.Row] -= e.Value * l.x[i]
		}
	}
	return off
}

// reinvert rids the inverse of what rounding has gathered, by Gauss-Jordan
// elimination with row choice.
func (l *LP) reinvert() {
	c := &l.core
	n := len(c.rows)
	l.touched += n * n * n / 4
	work := make([][]float64, n)
	for i := range work {
		work[i] = make([]float64, 2*n)
		work[i][n+i] = 1
	}
	for k, row := range c.rows {
		for _, e := range l.columns[l.basis[row]].entries {
			if at := c.at[e.Row]; at >= 0 {
				work[at][k] = e.Value
			}
		}
	}
	for k := range n {
		if !eliminate(work, k) {
			return // singular to working precision: keep what there is
		}
	}
	copy(l.x, l.rhs)
	for k, row := range c.rows {
		copy(c.inverse[k], work[k][n:])
		l.x[row] = 0
		for h, v := range c.inverse[k][:n] {
			l.x[row] += v * l.rhs[c.rows[h]]
		}
	}
	for _, row := range c.rows {
		for _, e := range l.columns[l.basis[row]].entries {
			if c.at[e.Row] < 0 {
				l.x[e.Row] -= e.Value * l.x[row]
			}
		}
	}
	l.Price()
}

func eliminate(work [][]float64, k int) bool {
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
	row := work[k][k:]
	scale := 1 / row[0]
	for j := range row {
		row[j] *= scale
	}
	for i := range work {
		if f := work[i][k]; i != k && f != 0 {
			subtract(work[i][k:], row, f)
		}
	}
	return true
}
