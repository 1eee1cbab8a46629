// Package simplex minimises a linear cost over columns that may be added
// between solves: a revised primal simplex method with an explicit inverse,
// meant for a few hundred rows.
package simplex

import "math"

// Entry is a coefficient of a column.
type Entry struct {
	Row   int
	Value float64
}

type column struct {
	cost    float64
	entries []Entry
	at      int // row where it is basic, or -1
	banned  bool
}

// LP is: minimise cost of x subject to the rows, x at least 0. Its first
// columns are the unit columns of New, which start in the basis.
type LP struct {
	rhs     []float64
	columns []column
	basis   []int
	inverse [][]float64
	flat    []float64 // the rows of inverse, one after another
	x       []float64 // of the basic columns
	dual    []float64
	enter   []float64 // the entering column in terms of the basis
	pivots  int
	likely  []int // columns that gained most when all were looked at
	filled  []int // places of a row that are not zero
}

const (
	tiny         = 1e-9
	reinvertAt   = 400
	optimalSlack = 1e-9
)

// New makes an LP of as many rows as costs, each with a unit column of that
// cost. Every rhs must be at least 0.
func New(costs, rhs []float64) *LP {
	m := len(costs)
	l := &LP{rhs: append([]float64(nil), rhs...), x: append([]float64(nil), rhs...),
		dual: append([]float64(nil), costs...), enter: make([]float64, m), flat: make([]float64, m*m)}
	for i, c := range costs {
		l.columns = append(l.columns, column{cost: c, entries: []Entry{{i, 1}}, at: i})
		l.basis = append(l.basis, i)
		row := l.flat[i*m : (i+1)*m]
		row[i] = 1
		l.inverse = append(l.inverse, row)
	}
	return l
}

// Add adds a column and returns its number.
func (l *LP) Add(cost float64, entries []Entry) int {
	l.columns = append(l.columns, column{cost: cost, entries: entries, at: -1})
	return len(l.columns) - 1
}

// Reprice changes the cost of columns; Solve must follow.
func (l *LP) Reprice(cost float64, columns ...int) {
	for _, c := range columns {
		l.columns[c].cost = cost
	}
	l.price()
}

// Prefer says which columns to bring in first when Solve starts next.
func (l *LP) Prefer(columns []int) { l.likely = append(l.likely[:0], columns...) }

// Dual is the price of a row at the last solution.
func (l *LP) Dual(row int) float64 { return l.dual[row] }

// Value is a column's at the last solution.
func (l *LP) Value(column int) float64 {
	if at := l.columns[column].at; at >= 0 {
		return max(l.x[at], 0)
	}
	return 0
}

// Cost is that of the last solution.
func (l *LP) Cost() float64 {
	cost := 0.0
	for i, c := range l.basis {
		cost += l.columns[c].cost * l.x[i]
	}
	return cost
}

// Reduced is what a column costs beyond the prices of its rows.
func (l *LP) Reduced(c int) float64 {
	cost := l.columns[c].cost
	for _, e := range l.columns[c].entries {
		cost -= l.dual[e.Row] * e.Value
	}
	return cost
}

// Solve pivots until nothing is gained, at most a number of times, and
// returns the number of pivots.
func (l *LP) Solve(most int) int {
	scale := 1.0
	for _, d := range l.dual {
		scale = max(scale, math.Abs(d))
	}
	for n := 0; n < most; n++ {
		c, gain := l.entering(-optimalSlack * scale)
		if c < 0 || !l.pivot(c, gain) {
			return n
		}
	}
	return most
}

// pivot brings a column into the basis; false when nothing limits it.
func (l *LP) pivot(c int, reduced float64) bool {
	l.express(c)
	row, ratio := -1, math.Inf(1)
	for i, d := range l.enter {
		r := 0.0
		switch {
		case d > tiny:
			r = max(l.x[i], 0) / d
		case d < -tiny && l.columns[l.basis[i]].banned: // it must not grow
		default:
			continue
		}
		if r < ratio-1e-12 || r < ratio+1e-12 && (row < 0 || math.Abs(d) > math.Abs(l.enter[row])) {
			row, ratio = i, r
		}
	}
	if row < 0 {
		return false
	}
	l.replace(row, c, ratio, reduced)
	if l.pivots++; l.pivots%reinvertAt == 0 {
		l.reinvert()
	}
	return true
}

func (l *LP) express(c int) {
	clear(l.enter)
	for _, e := range l.columns[c].entries {
		if at := l.columns[e.Row].at; at >= 0 { // the row's unit column is basic
			l.enter[at] += e.Value
			continue
		}
		for i, row := range l.inverse {
			l.enter[i] += row[e.Row] * e.Value
		}
	}
}

func (l *LP) replace(row, c int, ratio, reduced float64) {
	for i, d := range l.enter {
		l.x[i] -= ratio * d
	}
	l.x[row] = ratio
	pivotRow := l.inverse[row]
	scale := 1 / l.enter[row]
	l.filled = l.filled[:0]
	for j, v := range pivotRow {
		if v != 0 {
			pivotRow[j] = v * scale
			l.filled = append(l.filled, j)
		}
	}
	for i, d := range l.enter {
		if i != row && d != 0 {
			subtract(l.inverse[i], pivotRow, d, l.filled)
		}
	}
	for _, j := range l.filled {
		l.dual[j] += reduced * pivotRow[j]
	}
	l.columns[l.basis[row]].at = -1
	l.columns[c].at = row
	l.basis[row] = c
}

// price computes the duals anew.
func (l *LP) price() {
	clear(l.dual)
	for i, c := range l.basis {
		cost := l.columns[c].cost
		if cost == 0 {
			continue
		}
		for j, v := range l.inverse[i] {
			l.dual[j] += cost * v
		}
	}
}
