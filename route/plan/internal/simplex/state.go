package simplex

import "slices"

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

// Copy is an LP of its own that stands where this one does.
func (l *LP) Copy() *LP {
	c := *l
	c.rhs = slices.Clone(l.rhs)
	c.columns = slices.Clone(l.columns)
	c.entries = l.entries[:len(l.entries):len(l.entries)]
	c.strips = ended(l.strips)
	c.basis, c.x, c.dual = slices.Clone(l.basis), slices.Clone(l.x), slices.Clone(l.dual)
	c.enter, c.along, c.edges = make([]float64, len(l.enter)), make([]float64, len(l.along)), make([]float64, len(l.edges))
	c.likely, c.ratios, c.reduced, c.alphas = nil, nil, nil, nil
	c.core = core{rows: slices.Clone(l.core.rows), at: slices.Clone(l.core.at)}
	for k := range l.core.rows {
		c.core.inverse = append(c.core.inverse, slices.Clone(l.core.inverse[k]))
	}
	return &c
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
