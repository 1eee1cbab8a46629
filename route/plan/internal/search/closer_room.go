package search

// crowd notes rooms of which more is taken than there is.
func (c *closer) crowd(takes [][]float64) bool {
	more := false
	for r, row := range takes {
		for _, x := range row {
			if room := c.h.m.Room[r]; !c.crowded[r] && x > room*(1+1e-6)+Slack {
				c.crowded[r], more = true, true
			}
		}
	}
	return more
}

// asked are the rooms that the need fills at the worths it starts from.
func (c *closer) asked() {
	c.h.takes = newPrices(c.h.m).Cell
	c.h.evaluate()
	c.crowd(c.h.takes)
	c.h.takes = nil
}

// overfills notes the rooms that the mix fills too much.
func (c *closer) overfills() bool {
	takes := newPrices(c.h.m).Cell
	for k := range c.deals {
		share := c.lp.Value(c.deals[k].column)
		if share <= 1e-9 {
			continue
		}
		for _, f := range c.deals[k].flows {
			if f.Way < 0 {
				continue
			}
			s := &c.n.Sources[f.Source]
			for q := s.Stop; q <= f.To; q++ {
				takes[s.Ways[f.Way].Room][q] += share * f.Amount * s.Ways[f.Way].Litres
				takes[len(takes)-1][q] += share * f.Amount * s.Kg
			}
		}
	}
	return c.crowd(takes)
}

// rooms adds rows for the rooms that the need alone would fill too much. The
// mix of all needs has schedules that fit only, and so need not price that.
func (c *closer) rooms(row func(cost, limit float64) int) {
	for r, full := range c.crowded {
		cells := make([]int, c.h.m.Legs())
		for q := range cells {
			cells[q] = -1
			if full {
				cells[q] = row(0, c.h.m.Room[r])
			}
		}
		c.cells = append(c.cells, cells)
	}
}

// hold counts room that is taken.
func (c *closer) hold(s *Source, u *use, amount float64) {
	w := s.Ways[u.way]
	for q := s.Stop; q <= u.to; q++ {
		if row := c.cells[w.Room][q]; row >= 0 {
			c.use[row] += amount * w.Litres
		}
		if row := c.cells[len(c.cells)-1][q]; row >= 0 {
			c.use[row] += amount * s.Kg
		}
	}
}

// dearer makes uses cost what room costs more, and returns what all the room
// is worth by that.
func (c *closer) dearer() float64 {
	worth, any := 0.0, false
	for r, cells := range c.cells {
		for q, row := range cells {
			if row >= 0 {
				worth += c.extra.Cell[r][q] * c.h.m.Room[r]
				any = true
			}
		}
	}
	if !any {
		return 0
	}
	c.extra.settle()
	for i := range c.h.sources {
		o := &c.h.sources[i]
		for k := range o.uses {
			if u := &o.uses[k]; u.way >= 0 {
				u.extra = c.extra.hold(o.source, o.source.Ways[u.way], u.to)
			}
		}
	}
	return worth
}

// worths are those of segments, legs and crowded rooms.
func (c *closer) worths() []float64 {
	w := c.h.worths()
	for _, row := range c.extra.Cell {
		w = append(w, row...)
	}
	return w
}

// set takes worths up again.
func (c *closer) set(worths []float64) {
	rest := worths[copy(c.h.worth, worths):]
	rest = rest[copy(c.h.keep, rest):]
	for _, row := range c.extra.Cell {
		rest = rest[copy(row, rest):]
	}
}

// blend takes the worths from the mix, a part of the way to others.
func (c *closer) blend(others []float64, part float64) {
	for g := range c.h.worth {
		c.h.worth[g] = min(c.n.Miss, part*others[g]+(1-part)*c.lp.Dual(g))
	}
	others = others[len(c.h.worth):]
	for leg, row := range c.legs {
		c.h.keep[leg] = 0
		if row >= 0 {
			c.h.keep[leg] = min(c.n.ReserveMiss, max(0, part*others[leg]+(1-part)*c.lp.Dual(row)))
		}
	}
	others = others[len(c.legs):]
	for r, cells := range c.cells {
		for q, row := range cells {
			if row >= 0 {
				c.extra.Cell[r][q] = max(0, part*others[q]-(1-part)*c.lp.Dual(row))
			}
		}
		others = others[len(cells):]
	}
}
