package search

import (
	"math"
	"slices"

	"hardtack/route/plan/internal/simplex"
)

// closer closes in on what a need costs at least at prices. Like a hull it lets
// every source stand alone, but it mixes what the sources may sell so that all
// use is served and every source does one thing in all, and where the mix does
// several things by halves it splits the need: into fewer packs of an offer and
// more, nothing carried away from a source and something. What all parts cost
// at least the need costs at least; a mix that does nothing by halves is a
// schedule.
type closer struct {
	h       *hull
	n       *Need // with the packs of the part at hand as limits
	whole   *Need
	open    []float64 // per stop: share of its trips, once anything is carried away
	lp      *simplex.LP
	rows    int
	legs    []int   // row per leg, -1 where nothing is due
	crowded []bool  // per room: the need alone would fill it
	cells   [][]int // row per room and departure, -1 where it is not crowded
	extra   *Prices // what room costs more that the need fills alone
	first   int     // row of the first source
	deals   []sold
	away    []choose // per source: whether anything is carried away, in the part at hand
	trips   []choose // per stop: whether the share of its trips is paid
	parts   []*part  // open, in no order
	at      *part    // whose mix the program holds
	state   simplex.State
	known   float64 // a cost that is reached, or as good as
	proven  float64 // the best bound
	done    float64 // the least that a part costs which cannot be split
	banned  float64 // on top of the cost of what a part forbids
	best    *Schedule
	offer   func(*Schedule) // told of packs that may be good
	use     []float64       // per row, of a column being made
	effort  float64         // in schedules allocated
	charged int             // of what the LP has touched, counted as effort
	until   float64         // effort at which to pause
	splits  int
	boxes   []box // of the rows of use and of what is due
}

// sold is what a source does, as a column.
type sold struct {
	source, column int
	packs          []int // per offer of the source
	carried        bool
	flows          []Flow
	cost           float64 // without line and trip
}

// choose is a choice between no and yes that a part may have made.
type choose byte

const (
	either choose = iota
	no
	yes
)

// newCloser starts from worths, those of a hull.
func newCloser(m *Model, p *Prices, need int, worth []float64) *closer {
	c := &closer{whole: m.Needs[need], open: p.Open[need], known: m.Needs[need].nothing(), done: math.Inf(1), proven: math.Inf(-1)}
	n := *c.whole
	n.Offers = slices.Clone(n.Offers)
	c.n = &n
	c.h = newHull(m, p, need)
	c.h.n = c.n
	c.h.start(worth)
	c.away, c.trips = make([]choose, len(n.Sources)), make([]choose, m.Stops)
	c.banned = 4*n.nothing() + 1
	c.extra = newPrices(m)
	c.crowded = make([]bool, len(m.Room))
	c.asked()
	c.begin(&part{bound: math.Inf(-1), worth: c.worths()})
	return c
}

// begin starts all over from a part that is the whole.
func (c *closer) begin(whole *part) {
	c.mix()
	c.parts = []*part{whole}
	c.at = nil
	c.done = math.Inf(1)
}

// mix sets up the rows: use per segment, what is due per leg, room that the
// need alone would fill, one thing per source. Use may be missed, what is due
// may lack or be passed, and a source may sell nothing.
func (c *closer) mix() {
	c.deals, c.legs, c.cells = nil, nil, nil
	var costs, rhs []float64
	row := func(cost, limit float64) int {
		costs, rhs = append(costs, cost), append(rhs, limit)
		return len(costs) - 1
	}
	for k, g := range c.n.Segments {
		row(c.n.Miss, g.Amount*(1-apart*float64(k%17)))
	}
	for _, due := range c.n.Due {
		at := -1
		if c.n.ReserveMiss > 0 && due > 0 {
			at = row(c.n.ReserveMiss, due)
		}
		c.legs = append(c.legs, at)
	}
	c.rooms(row)
	c.first = len(costs)
	for k := range c.n.Sources {
		row(0, 1+apart*float64(k%11))
	}
	c.rows = len(costs)
	c.use = make([]float64, c.rows)
	c.lp, c.charged, c.boxes = simplex.New(costs, rhs), 0, nil
	for k := range c.n.Segments {
		c.boxed(k, c.h.worth[k], c.n.Miss)
	}
	for leg, at := range c.legs {
		if at >= 0 {
			c.boxed(at, c.h.keep[leg], c.n.ReserveMiss)
		}
	}
	c.lp.Price()
}

// apart keeps rows from being equal by a hair, so that the simplex method does
// not go round in circles. Bounds do not depend on it.
const apart = 1e-7

// fixed is what carrying away from a source costs once, and whether the part
// at hand allows it. The trips of a stop are shared by the items sold there
// until a part decides whether they are made.
func (c *closer) fixed(source int) (cost float64, may bool) {
	s := &c.n.Sources[source]
	switch {
	case c.away[source] == no:
		return 0, false
	case s.Aboard >= 0:
		return 0, true
	case c.trips[s.Stop] == no:
		return 0, false
	case c.trips[s.Stop] == yes:
		return s.Line, true
	}
	return c.h.sources[source].fixed, true
}

// cost is that of a column in the part at hand, and whether it is in it.
func (c *closer) cost(d *sold) (cost float64, in bool) {
	cost = d.cost
	if fixed, may := c.fixed(d.source); d.carried && may {
		cost += fixed
	} else if d.carried || c.away[d.source] == yes {
		return cost, false
	}
	for k, o := range c.n.Sources[d.source].Offers {
		if x := &c.n.Offers[o]; d.packs[k] < x.Min || d.packs[k] > x.Limit {
			return cost, false
		}
	}
	return cost, true
}

// nothing is what a source costs that sells nothing, and whether that is in the
// part at hand.
func (c *closer) nothing(source int) (cost float64, in bool) {
	in = c.away[source] != yes
	for _, o := range c.n.Sources[source].Offers {
		in = in && c.n.Offers[o].Min == c.whole.Offers[o].Min
		cost += float64(c.whole.Offers[o].Min) * c.n.Offers[o].Price
	}
	return cost, in
}
