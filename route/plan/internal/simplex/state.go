package simplex

// State is where an LP stood: it can be gone back to as long as no rows were
// added. Columns added since are not in it.
type State struct {
	basis, rows []int
	x, dual     []float64
	inverse     []float64
}

// Save notes where the LP stands.
func (l *LP) Save(s *State) {
	s.basis = append(s.basis[:0], l.basis...)
	s.rows = append(s.rows[:0], l.core.rows...)
	s.x = append(s.x[:0], l.x...)
	s.dual = append(s.dual[:0], l.dual...)
	s.inverse = s.inverse[:0]
	for k := range l.core.rows {
		s.inverse = append(s.inverse, l.core.inverse[k]...)
	}
}

// Load goes back to where the LP stood.
func (l *LP) Load(s *State) {
	for _, c := range l.basis {
		l.columns[c].at = -1
	}
	for i, c := range s.basis {
		l.columns[c].at = i
	}
	copy(l.basis, s.basis)
	copy(l.x, s.x)
	copy(l.dual, s.dual)
	l.core.load(s.rows, s.inverse)
}

// load makes the core one of these rows.
func (c *core) load(rows []int, inverse []float64) {
	for _, row := range c.rows {
		c.at[row] = -1
	}
	c.rows = append(c.rows[:0], rows...)
	n := len(rows)
	for k, row := range rows {
		c.at[row] = k
		if k == len(c.inverse) {
			c.inverse = append(c.inverse, nil)
		}
		c.inverse[k] = append(c.inverse[k][:0], inverse[k*n:(k+1)*n]...)
	}
}
