package simplex

// SetCost changes the cost of a column; Price must follow the last change, and
// then Solve.
func (l *LP) SetCost(column int, cost float64) { l.columns[column].cost = cost }

// Columns is how many columns there are.
func (l *LP) Columns() int { return len(l.columns) }

// Touched is about how many numbers all pivots so far have changed or looked
// at, a measure of the work done that does not depend on the machine.
func (l *LP) Touched() int { return l.touched }
