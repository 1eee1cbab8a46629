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
	entries []Entry     // of the columns added, one after another
	strips  [][]entryOf // the same by rows, and unit columns
	basis   []int       // the column basic in a row; a unit column only in its own
	x       []float64   // of the basic columns
	dual    []float64
	enter   []float64 // the entering column in terms of the basis
	core    core
	pivots  int
	touched int   // numbers changed or looked at by pivots, about
	likely  []int // columns that gained most when all were looked at
	ratios  []replacement
	along   []float64 // a row of the inverse
	reduced []float64 // per column, while some are driven out
	alphas  []float64 // per column, what one unit of it changes the row being cleared by
	edges   []float64 // per row, about the square of its row of the inverse, while some are driven out
}

const (
	tiny         = 1e-9
	reinvertAt   = 400
	optimalSlack = 1e-9
	perCore      = 60 // numbers looked at for a row of the core, beside the inverse
	perRow       = 4  // for any other
)

// New makes an LP of as many rows as costs, each with a unit column of that
// cost. Every rhs must be at least 0.
func New(costs, rhs []float64) *LP {
	l := &LP{rhs: append([]float64(nil), rhs...), x: append([]float64(nil), rhs...),
		dual: append([]float64(nil), costs...), enter: make([]float64, len(costs)), along: make([]float64, len(costs)), edges: make([]float64, len(costs)),
		core: newCore(len(costs)), strips: strips(len(costs))}
	for i, c := range costs {
		l.columns = append(l.columns, column{cost: c, entries: []Entry{{i, 1}}, at: i})
		l.basis = append(l.basis, i)
	}
	return l
}

// Add adds a column and returns its number.
func (l *LP) Add(cost float64, entries []Entry) int {
	from := len(l.entries)
	l.entries = append(l.entries, entries...) // side by side, which is soon read
	l.columns = append(l.columns, column{cost: cost, entries: l.entries[from:len(l.entries):len(l.entries)], at: -1})
	for _, e := range entries {
		l.strips[e.Row] = append(l.strips[e.Row], entryOf{int32(len(l.columns) - 1), e.Value})
	}
	return len(l.columns) - 1
}

// Reprice changes the cost of columns; Solve must follow.
func (l *LP) Reprice(cost float64, columns ...int) {
	for _, c := range columns {
		l.columns[c].cost = cost
	}
	l.Price()
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
	row := l.leaving()
	if row < 0 {
		return false
	}
	l.replace(row, c, max(l.x[row], 0)/l.enter[row], reduced)
	if l.pivots++; l.pivots%reinvertAt == 0 {
		l.reinvert()
	}
	return true
}

// leaving is the row whose basic column the entering one drives to zero first,
// -1 when there is none. Of those that are all but first the one is taken that
// changes most, which keeps rounding small.
func (l *LP) leaving() int {
	most := math.Inf(1)
	for i, d := range l.enter {
		switch {
		case d > leastPivot:
			most = min(most, (max(l.x[i], 0)+tiny)/d)
		case d < -leastPivot && l.stays(i):
			most = min(most, tiny/-d)
		}
	}
	row, weight := -1, 0.0
	for i, d := range l.enter {
		switch {
		case d > leastPivot:
			if l.x[i] <= most*d && d > weight {
				row, weight = i, d
			}
		case d < -leastPivot && l.stays(i) && -d > weight:
			row, weight = i, -d
		}
	}
	return row
}

// stays says whether what is basic in a row has been ruled out and is out, so
// that it must not grow.
func (l *LP) stays(row int) bool { return l.x[row] <= tiny && l.columns[l.basis[row]].banned }

// replace makes a column basic in a row.
func (l *LP) replace(row, c int, ratio, reduced float64) {
	for i, d := range l.enter {
		l.x[i] -= ratio * d
	}
	l.x[row] = ratio
	l.touched += len(l.core.rows)*(len(l.core.rows)+perCore) + perRow*len(l.x)
	r := l.row(row)
	r.scale(1 / l.enter[row])
	for k, i := range l.core.rows {
		l.dual[i] += reduced * r.part[k]
	}
	if r.own != 0 {
		l.dual[row] += reduced * r.own
	}
	l.core.replace(row, l.enter, r)
	l.columns[l.basis[row]].at = -1
	l.seat(c, row)
	if c < len(l.rhs) {
		l.goHome(c)
	}
}

func (l *LP) seat(column, row int) {
	l.basis[row], l.columns[column].at = column, row
}

// goHome moves a unit column that has become basic to its own row, and the one
// that was there to where it was.
func (l *LP) goHome(unit int) {
	if from := l.columns[unit].at; from != unit {
		other := l.basis[unit]
		l.seat(unit, unit)
		l.seat(other, from)
		l.x[unit], l.x[from] = l.x[from], l.x[unit]
		l.edges[unit], l.edges[from] = l.edges[from], l.edges[unit]
		l.core.swap(unit, from)
	}
	l.core.remove(unit)
}

// Price works the prices of all rows out anew.
func (l *LP) Price() {
	for i := range l.dual {
		l.dual[i] = 0
		if l.core.at[i] < 0 {
			l.dual[i] = l.columns[i].cost
		}
	}
	for k, row := range l.core.rows {
		c := &l.columns[l.basis[row]]
		cost := c.cost
		for _, e := range c.entries {
			if l.core.at[e.Row] < 0 {
				cost -= l.columns[e.Row].cost * e.Value
			}
		}
		if cost == 0 {
			continue
		}
		for h, v := range l.core.inverse[k][:len(l.core.rows)] {
			l.dual[l.core.rows[h]] += cost * v
		}
	}
}
