package simplex

import "math"

// Rule rules a column out, so that it is zero from the next Restore on, or in
// again.
func (l *LP) Rule(column int, out bool) { l.columns[column].banned = out }

// RuledOut says whether a column is.
func (l *LP) RuledOut(column int) bool { return l.columns[column].banned }

// Restore drives banned columns out of the solution by the dual simplex
// method, which must start from one where no column that is allowed gains. It
// pivots at most a number of times, ends when the cost has risen to a limit,
// and returns the number of pivots and whether all are out below that.
func (l *LP) Restore(most int, limit float64) (pivots int, out bool) {
	known := false
	for ; pivots < most; pivots++ {
		row := l.worst()
		if row < 0 {
			return pivots, true
		}
		if l.Cost() >= limit {
			return pivots, false
		}
		if !known {
			l.reduceAll()
			known = true
		}
		c, ratio := l.replacing(row)
		if c < 0 {
			return pivots, false
		}
		l.express(c)
		if math.Abs(l.enter[row]) < leastPivot/2 { // the inverse is off
			l.reinvert()
			return pivots, false
		}
		leaving := l.basis[row]
		reduced := max(l.Reduced(c), 0)
		l.replace(row, c, ratio, reduced)
		l.shiftReduced(reduced/l.alphas[c], leaving)
		if l.pivots++; l.pivots%reinvertAt == 0 {
			l.reinvert()
			known = false
		}
	}
	return pivots, l.worst() < 0
}

// reduceAll works out the reduced costs of all columns that may come in.
func (l *LP) reduceAll() {
	l.touched += 4 * len(l.columns)
	if n := len(l.columns); cap(l.reduced) < n {
		l.reduced, l.alphas = make([]float64, n, 2*n), make([]float64, n, 2*n)
	} else {
		l.reduced, l.alphas = l.reduced[:n], l.alphas[:n]
	}
	for j := range l.columns {
		if k := &l.columns[j]; k.at < 0 && !k.banned {
			l.reduced[j] = l.Reduced(j)
		}
	}
}

// shiftReduced keeps them right when a row of the inverse went into the prices so
// many times; what leaves the basis had none.
func (l *LP) shiftReduced(times float64, leaving int) {
	l.reduced[leaving], l.alphas[leaving] = 0, 1
	for j := range l.columns {
		if k := &l.columns[j]; k.at < 0 && !k.banned {
			l.reduced[j] -= times * l.alphas[j]
		}
	}
}

// worst is the row whose basic column is farthest from what it may be, -1 when
// all are near enough.
func (l *LP) worst() int {
	row, off := -1, nearEnough
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

// nearEnough is below what rounding makes of zero where right-hand sides are
// hundreds.
const nearEnough = 1e-7

// replacing is the column that takes a row's place at the least loss, -1 when
// none can. Among those that lose all but the same the one is taken that
// changes the row most, which keeps rounding small.
func (l *LP) replacing(row int) (c int, ratio float64) {
	sign := 1.0
	if l.x[row] < 0 {
		sign = -1
	}
	l.touched += 4 * len(l.columns)
	most, along := math.Inf(1), l.spread(row)
	l.ratios = l.ratios[:0]
	for j := range l.columns {
		k := &l.columns[j]
		if k.at >= 0 || k.banned {
			continue
		}
		alpha := 0.0
		for _, e := range k.entries {
			alpha += along[e.Row] * e.Value
		}
		l.alphas[j] = alpha
		if alpha *= sign; alpha <= leastPivot {
			continue
		}
		d := max(l.reduced[j], 0)
		most = min(most, (d+forgiven)/alpha)
		l.ratios = append(l.ratios, replacement{j, alpha, d})
	}
	c = -1
	weight := 0.0
	for _, r := range l.ratios {
		if r.reduced <= most*r.alpha && r.alpha > weight {
			c, weight = r.column, r.alpha
		}
	}
	return c, l.x[row] / (sign * weight)
}

// spread is a row of the inverse by rows.
func (l *LP) spread(row int) []float64 {
	clear(l.along)
	of := l.row(row)
	for k, i := range l.core.rows {
		l.along[i] = of.part[k]
	}
	if l.core.at[row] < 0 {
		l.along[row] = of.own
	}
	return l.along
}

// replacement is a column that may come into a row's place.
type replacement struct {
	column         int
	alpha, reduced float64
}

const (
	leastPivot = 1e-7
	forgiven   = 1e-9 // of a reduced cost, for a larger pivot
)
