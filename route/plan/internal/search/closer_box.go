package search

import "hardtack/route/plan/internal/simplex"

// box keeps the worth of a row near one that is thought good: the mix may go
// without at a price a little above that, and sell more than is used at one a
// little below. A program that has few columns yet has worths far off, and takes
// long to find back. (The box steps of Marsten, Hogan and Blankenship 1975.)
type box struct {
	row, over   int // over: the column of what is sold beyond the use
	worth, most float64
	width       float64 // as a part of the worth, and of a hundredth of the most
}

const (
	boxWidth  = 0.03
	boxGrowth = 4.0  // times as wide
	mostWidth = 10.0 // then there is no box any more
)

// boxed adds the column of what is sold beyond a row, so that packs that must be
// bought always find a mix, and a box around the worth of the row.
func (c *closer) boxed(row int, worth, most float64) {
	over := c.lp.Add(0, []simplex.Entry{{Row: row, Value: -1}})
	c.boxes = append(c.boxes, box{row, over, min(worth, most), most, boxWidth})
	c.wall(&c.boxes[len(c.boxes)-1])
}

// wall sets the prices at the ends of a box.
func (c *closer) wall(b *box) {
	low, high := 0.0, b.most
	if b.width <= mostWidth {
		off := b.width * (b.worth + b.most/100)
		low, high = max(0, b.worth-off), min(b.most, b.worth+off)
	}
	c.lp.SetCost(b.row, high)
	c.lp.SetCost(b.over, -low)
}

// widen makes the boxes wider at whose ends the mix finds itself, and says whether
// there are any: else what it costs does not depend on them.
func (c *closer) widen() bool {
	found := false
	for k := range c.boxes {
		b := &c.boxes[k]
		if b.width <= mostWidth && (c.lp.Value(b.row) > 1e-9 || c.lp.Value(b.over) > 1e-9) {
			b.width *= boxGrowth
			c.wall(b)
			found = true
		}
	}
	if found {
		c.lp.Price()
	}
	return found
}
