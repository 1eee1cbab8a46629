package simplex

import "math"

// Ban rules a column out: it is to be zero from the next Restore on.
func (l *LP) Ban(column int) { l.columns[column].banned = true }

// Allow takes a ban back.
func (l *LP) Allow(column int) { l.columns[column].banned = false }

// Banned says whether a column is ruled out.
func (l *LP) Banned(column int) bool { return l.columns[column].banned }

// Restore drives banned columns out of the solution by the dual simplex
// method, which must start from one where no column that is allowed gains. It
// pivots at most a number of times, ends when the cost has risen to a limit,
// and returns the number of pivots and whether what is left may cost less.
func (l *LP) Restore(most int, limit float64) (pivots int, below bool) {
	for ; pivots < most; pivots++ {
		row := l.worst()
		if row < 0 {
			return pivots, true
		}
		if l.Cost() >= limit {
			return pivots, false
		}
		c, reduced, ratio := l.replacing(row)
		if c < 0 {
			return pivots, false
		}
		l.express(c)
		l.replace(row, c, ratio, reduced)
		if l.pivots++; l.pivots%reinvertAt == 0 {
			l.reinvert()
		}
	}
	return pivots, true
}

// worst is the row whose basic column is farthest from what it may be, -1 when
// all are well.
func (l *LP) worst() int {
	row, off := -1, 1e-9
	for i, x := range l.x {
		if x < 0 {
			x = -x
		} else if !l.columns[l.basis[i]].banned {
			continue
		}
		if x > off {
			row, off = i, x
		}
	}
	return row
}

// replacing is the column that takes a row's place at the least loss, -1 when
// none can.
func (l *LP) replacing(row int) (c int, reduced, ratio float64) {
	sign := 1.0
	if l.x[row] < 0 {
		sign = -1
	}
	of := l.inverse[row]
	c = -1
	least, weight := math.Inf(1), 0.0
	for j := range l.columns {
		k := &l.columns[j]
		if k.at >= 0 || k.banned {
			continue
		}
		alpha := 0.0
		for _, e := range k.entries {
			alpha += of[e.Row] * e.Value
		}
		if sign*alpha <= 1e-9 {
			continue
		}
		d := max(l.Reduced(j), 0)
		if r := d / (sign * alpha); r < least-1e-12 || r < least+1e-12 && sign*alpha > weight {
			c, least, weight = j, r, sign*alpha
			reduced, ratio = d, l.x[row]/alpha
		}
	}
	return c, reduced, ratio
}
