package simplex

// State is where an LP stood: it can be gone back to as long as no rows were
// added. Columns added since are not in it.
type State struct {
	basis         []int
	x, dual, flat []float64
}

// Save notes where the LP stands.
func (l *LP) Save(s *State) {
	s.basis = append(s.basis[:0], l.basis...)
	s.x = append(s.x[:0], l.x...)
	s.dual = append(s.dual[:0], l.dual...)
	s.flat = append(s.flat[:0], l.flat...)
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
	copy(l.flat, s.flat)
}
