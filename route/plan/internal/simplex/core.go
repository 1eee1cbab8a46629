package simplex

// core is the part of the inverse that is not trivial. Where a row's own unit
// column is basic nothing else is in its column of the inverse, and its row
// follows from the others; what is left are the rows where something else is
// basic, far fewer than all.
type core struct {
	rows    []int       // in the core
	at      []int       // per row: its place in the core, or -1
	inverse [][]float64 // place by place
	part    []float64   // of a row of the whole inverse
	inside  []Entry     // of a column: its entries in the core, by place
}

func newCore(rows int) core {
	c := core{at: make([]int, rows)}
	for i := range c.at {
		c.at[i] = -1
	}
	return c
}

// part is a row of the inverse: its part in the core, and at the row itself
// where that is outside.
type part struct {
	part []float64
	own  float64
}

func (p *part) scale(by float64) {
	for k := range p.part {
		p.part[k] *= by
	}
	p.own *= by
}

// row is a copy of a row of the inverse.
func (l *LP) row(row int) part {
	c := &l.core
	n := len(c.rows)
	if cap(c.part) < n+1 {
		c.part = make([]float64, 0, 2*n+16)
	}
	p := part{part: c.part[:n]}
	if at := c.at[row]; at >= 0 {
		copy(p.part, c.inverse[at][:n])
		return p
	}
	clear(p.part)
	p.own = 1
	for k, i := range c.rows {
		for _, e := range l.columns[l.basis[i]].entries {
			if e.Row == row {
				subtract(p.part, c.inverse[k][:n], e.Value)
			}
		}
	}
	return p
}

// express writes a column in terms of the basis.
func (l *LP) express(column int) {
	clear(l.enter)
	c := &l.core
	c.inside = c.inside[:0]
	for _, e := range l.columns[column].entries {
		if at := c.at[e.Row]; at < 0 {
			l.enter[e.Row] += e.Value
		} else {
			c.inside = append(c.inside, Entry{at, e.Value})
		}
	}
	for k, row := range c.rows {
		d, inverse := 0.0, c.inverse[k]
		for _, e := range c.inside {
			d += inverse[e.Row] * e.Value
		}
		if d == 0 {
			continue
		}
		l.enter[row] += d
		for _, e := range l.columns[l.basis[row]].entries {
			if c.at[e.Row] < 0 {
				l.enter[e.Row] -= e.Value * d
			}
		}
	}
}

// replace puts another column into a row, which comes into the core if it was
// outside: enter is that column in terms of the basis, and p the row of the
// inverse, scaled.
func (c *core) replace(row int, enter []float64, p part) {
	if c.at[row] < 0 {
		c.grow(row)
		p.part = append(p.part, p.own)
	}
	for k, i := range c.rows {
		if d := enter[i]; d != 0 && i != row {
			subtract(c.inverse[k], p.part, d)
		}
	}
	copy(c.inverse[c.at[row]], p.part)
}

// grow adds a row and a column of zeros.
func (c *core) grow(row int) {
	n := len(c.rows)
	c.at[row] = n
	c.rows = append(c.rows, row)
	for k := range n {
		c.inverse[k] = append(c.inverse[k], 0)
	}
	if n == len(c.inverse) {
		c.inverse = append(c.inverse, nil)
	}
	c.inverse[n] = append(c.inverse[n][:0], make([]float64, n+1)...)
}

// remove takes a row and a column out.
func (c *core) remove(row int) {
	at, last := c.at[row], len(c.rows)-1
	if at < 0 {
		return
	}
	c.inverse[at], c.inverse[last] = c.inverse[last], c.inverse[at]
	for k := range last {
		c.inverse[k][at] = c.inverse[k][last]
		c.inverse[k] = c.inverse[k][:last]
	}
	c.rows[at] = c.rows[last]
	c.at[c.rows[at]] = at
	c.rows = c.rows[:last]
	c.at[row] = -1
}

// swap exchanges what is basic in two rows of the core.
func (c *core) swap(row, other int) {
	a, b := c.at[row], c.at[other]
	c.inverse[a], c.inverse[b] = c.inverse[b], c.inverse[a]
}

// subtract takes a multiple of a row off another one.
func subtract(from, row []float64, times float64) {
	from = from[:len(row)]
	for j, v := range row {
		from[j] -= times * v
	}
}
