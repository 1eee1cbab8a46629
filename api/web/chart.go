package web

import (
	"fmt"
	"math"
	"strings"
)

// Charts are drawn here and coloured by the style sheet. Coordinates are user
// units of the drawing, to a tenth.

// px is a coordinate as it is written.
func px(x float64) float64 { return math.Round(x*10) / 10 }

// pen writes a path.
type pen struct{ strings.Builder }

func (p *pen) to(op byte, x, y float64) {
	fmt.Fprintf(p, "%c%s %s", op, trim(px(x), 1), trim(px(y), 1))
}

// trail writes a line of whole units, each point from the one before: a
// coastline is the longest text of a page.
type trail struct {
	strings.Builder
	x, y int
}

func (t *trail) to(first bool, x, y float64) {
	nx, ny := int(math.Round(x)), int(math.Round(y))
	switch {
	case first:
		fmt.Fprintf(t, "M%d %d", nx, ny)
	case nx != t.x || ny != t.y:
		fmt.Fprintf(t, "l%d %d", nx-t.x, ny-t.y)
	}
	t.x, t.y = nx, ny
}

// mark is a place on a chart with words.
type mark struct {
	X, Y  float64
	Label string
}

// span is a line from one end to the other.
type span struct{ X1, Y1, X2, Y2 float64 }

// box is a rectangle with words.
type box struct {
	X, Y, W, H float64
	Label      string
	N          int
}

// niceStep is 1, 2 or 5 times a power of ten, so that so many steps reach most.
func niceStep(most float64, steps int) float64 {
	if !(most > 0) {
		return 1
	}
	rough := most / float64(steps)
	power := math.Pow(10, math.Floor(math.Log10(rough)))
	for _, k := range []float64{1, 2, 5} {
		if k*power >= rough {
			return k * power
		}
	}
	return 10 * power
}
