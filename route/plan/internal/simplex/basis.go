package simplex

import "math"

// Basis appends the columns that are in the basis, in the order of the rows
// they stand in.
func (l *LP) Basis(to []int) []int { return append(to, l.basis...) }

// Start goes to a basis had before, with what columns cost now, or to the unit
// columns when there is none or it cannot be inverted.
func (l *LP) Start(basis []int) {
	if basis != nil {
		l.stand(basis)
		l.reinvert()
		if l.exact() {
			return
		}
	}
	units := make([]int, len(l.basis))
	for i := range units {
		units[i] = i
	}
	l.stand(units)
	copy(l.x, l.rhs)
	l.Price()
}

// stand makes columns basic, with the inverse still to be worked out.
func (l *LP) stand(basis []int) {
	for _, c := range l.basis {
		l.columns[c].at = -1
	}
	copy(l.basis, basis)
	var rows []int
	for i, c := range l.basis {
		l.columns[c].at = i
		if c != i {
			rows = append(rows, i)
		}
	}
	l.core.load(rows, make([]float64, len(rows)*len(rows)))
}

// Sound says whether the solution meets the rows and all prices are numbers.
func (l *LP) Sound() bool {
	for _, d := range l.dual {
		if math.IsNaN(d) || math.IsInf(d, 0) {
			return false
		}
	}
	return l.exact()
}

// exact says whether the solution meets the rows.
func (l *LP) exact() bool {
	for i, off := range l.off() {
		if !(math.Abs(off) <= 1e-6*(1+math.Abs(l.rhs[i]))) { // a NaN is off too
			return false
		}
	}
	return true
}
