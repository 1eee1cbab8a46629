package simplex

import (
	"math"
	"slices"
)

// Rule rules a column out, so that it is zero from the next Restore on, or in
// again.
func (l *LP) Rule(column int, out bool) { l.columns[column].banned = out }

// RuledOut says whether a column is.
func (l *LP) RuledOut(column int) bool { return l.columns[column].banned }

// Limit gives a row another right-hand side, which holds from the next Restore on.
func (l *LP) Limit(row int, rhs float64) {
	l.express(row)
	more := rhs - l.rhs[row]
	for i, d := range l.enter {
		l.x[i] += more * d
	}
	l.rhs[row] = rhs
}

// Restore drives banned columns out of the solution by the dual simplex
// method, which must start from one where no column that is allowed gains. It
// pivots at most a number of times, ends when the cost has risen to a limit,
// and returns the number of pivots and whether all are out below that.
func (l *LP) Restore(most int, limit float64) (pivots int, out bool) {
	known := false
	for i := range l.edges {
		l.edges[i] = 1
	}
	for ; pivots < most; pivots++ {
		row := l.worst()
		if row < 0 {
			return pivots, true
		}
		if l.Cost() >= limit {
			return pivots, false
		}
		if !known {
			l.touched += 4 * len(l.columns)
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
		l.weigh(row)
		leaving := l.basis[row]
		reduced := l.Reduced(c)
		l.replace(row, c, ratio, reduced)
		l.shiftReduced(reduced/l.alphas[c], leaving)
		if l.pivots++; l.pivots%reinvertAt == 0 {
			l.reinvert()
			known = false
		}
	}
	return pivots, l.worst() < 0
}

// reduceAll works out the reduced costs of all columns.
func (l *LP) reduceAll() {
	n := len(l.columns)
	l.reduced, l.alphas = slices.Grow(l.reduced[:0], n)[:n], slices.Grow(l.alphas[:0], n)[:n]
	l.alongAll(l.dual, l.reduced)
	for j := range l.columns {
		l.reduced[j] = l.columns[j].cost - l.reduced[j]
	}
}

// shiftReduced keeps them right when a row of the inverse went into the prices so
// many times; what leaves the basis had none.
func (l *LP) shiftReduced(times float64, leaving int) {
	l.reduced[leaving], l.alphas[leaving] = 0, 1
	for j, alpha := range l.alphas {
		l.reduced[j] -= times * alpha
	}
}

// worst is the row whose basic column is farthest from what it may be, measured
// along the edge that clearing the row would go, -1 when all are near enough.
func (l *LP) worst() int {
	row, far := -1, 0.0
	for i, x := range l.x {
		if x < 0 {
			x = -x
		} else if !l.columns[l.basis[i]].banned {
			continue
		}
		if x <= nearEnough {
			continue
		}
		if d := x * x / l.edges[i]; d > far {
			row, far = i, d
		}
	}
	return row
}

// weigh keeps about how long the edges are (squared, beside those at the start), by
// the devex rule, when a row is cleared.
func (l *LP) weigh(row int) {
	pivot, w := l.enter[row], l.edges[row]
	for i, d := range l.enter {
		if d != 0 {
			d /= pivot
			l.edges[i] = max(l.edges[i], d*d*w)
		}
	}
	l.edges[row] = max(w/(pivot*pivot), 1)
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
	most := math.Inf(1)
	l.alongAll(l.spread(row), l.alphas)
	l.ratios = l.ratios[:0]
	for j, alpha := range l.alphas {
		if alpha *= sign; alpha <= leastPivot {
			continue
		}
		if k := &l.columns[j]; k.at >= 0 || k.banned {
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
