package search

import "math"

// take keeps the packs of the mix, which does nothing by halves, as the best
// when they are.
func (c *closer) take(cost float64) {
	if cost < c.known {
		c.known, c.best = cost, c.rounded()
	}
}

// guess offers the packs nearest to those of the mix.
func (c *closer) guess() {
	if c.offer != nil {
		c.offer(c.rounded())
	}
}

// rounded is a schedule of the packs nearest to those of the mix; what becomes
// of them is not said.
func (c *closer) rounded() *Schedule {
	stops := len(c.trips)
	s := &Schedule{Packs: make([]int, len(c.n.Offers)), Stay: make([]bool, stops), Kg: make([]float64, stops), Away: make([]bool, stops)}
	packs, _ := c.shares()
	for o, x := range packs {
		s.Packs[o] = int(math.Round(x))
	}
	return s
}
