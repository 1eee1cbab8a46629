package search

import "math"

// reach finds how far what has been bought up to a departure can go.
func (c *chain) reach(m *Model) {
	n := c.n
	for q := range m.Legs() {
		var lasts []last
		farthest, covers := c.depart[q], false
		for i := range n.Sources {
			s := &n.Sources[i]
			if s.Stop > q || s.Last < 2*q+1 {
				continue
			}
			for _, w := range s.Ways {
				l := last{w.Room, w.Litres, s.Kg, 0}
				for _, g := range n.Segments {
					if g.Period <= s.Last && w.keeps(g.End) {
						l.far += g.Amount
					}
				}
				farthest = max(farthest, l.far)
				lasts = lengthen(lasts, l)
				for leg := q; leg < m.Legs() && 2*leg+1 <= s.Last; leg++ {
					if n.ReserveMiss > 0 && w.Expires >= n.Until[leg]-1e-9 {
						farthest = max(farthest, c.arrive[leg+1]+n.Due[leg])
						covers = covers || leg == q
					}
				}
			}
		}
		c.lasts = append(c.lasts, lasts)
		c.covers = append(c.covers, covers)
		c.top = append(c.top, min(c.size-1, c.at(min(farthest, c.roomy(m, q, lasts)))))
	}
}

// roomy is the farthest that what the rooms hold can go: all that goes beyond
// what one room keeps must be in the others.
func (c *chain) roomy(m *Model, q int, lasts []last) float64 {
	most := make([]float64, len(m.Room)-1) // per room
	far := make([]float64, len(most))
	for _, l := range lasts {
		amount := m.Room[l.room] / l.litres
		if l.litres == 0 {
			amount = math.Inf(1)
		}
		most[l.room], far[l.room] = max(most[l.room], amount), max(far[l.room], l.far)
	}
	all := 0.0
	for _, x := range most {
		all += x
	}
	farthest := c.depart[q] + all
	if c.n.ReserveMiss > 0 {
		return farthest // what is held for a reserve only may be anywhere
	}
	for _, f := range far {
		beyond := 0.0
		for r, x := range most {
			if far[r] > f {
				beyond += x
			}
		}
		farthest = min(farthest, max(f, c.depart[q])+beyond)
	}
	return farthest
}

// lengthen adds a way of holding, or makes the like of it reach farther.
func lengthen(lasts []last, l last) []last {
	for k := range lasts {
		if x := &lasts[k]; x.room == l.room && x.litres == l.litres && x.kg == l.kg {
			x.far = max(x.far, l.far)
			return lasts
		}
	}
	return append(lasts, l)
}
