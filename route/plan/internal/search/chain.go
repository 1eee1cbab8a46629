package search

import (
	"cmp"
	"math"
	"slices"
)

// chain bounds a need that one item serves. What is bought first is eaten
// first, so all that matters of the past is how far along the need's use what
// is aboard reaches: a position, counted in need-units from the start of the
// route. Positions are kept on a lattice of which the smallest pack is a
// multiple and rounded up, and where that is not exact every cost errs
// downwards: no schedule costs less. A walk over the stops finds the cheapest
// positions, packs and reserves counted whole.
type chain struct {
	n      *Need
	unit   float64
	size   int       // number of positions
	arrive []float64 // use before the arrival at a stop
	depart []float64 // use before the departure
	sold   []int     // per stop: the source sold there, -1 without one
	start  float64   // what is aboard on day 0
	taste  float64
	kg     float64
	litres float64
	rooms  []int
	far    [][]float64 // per departure and room: the farthest use anything bought so far can serve from there
	top    []int       // per departure: the farthest position worth holding
	covers []bool      // per leg: something bought before can count for the reserve
	deals  [][]deal    // per stop: packs worth buying to be eaten in port

	shared *slate
	slate  // the shared one, as long as the lattice
}

// slate is what a walk notes down; the chains of a season share one.
type slate struct {
	cost, next, value []float64
	origin            []int32
	count             [][2]int16
	steps             [][]step // per stop and position after it
	landed            [][]step // per leg and position after it
}

// fit makes room for a number of positions.
func (t *slate) fit(stops, size int) {
	if len(t.cost) < size {
		*t = slate{cost: make([]float64, size), next: make([]float64, size), value: make([]float64, size),
			origin: make([]int32, size), count: make([][2]int16, size)}
		for range stops {
			t.steps = append(t.steps, make([]step, size))
			t.landed = append(t.landed, make([]step, size))
		}
	}
}

// open takes a part of the shared slate.
func (c *chain) open() {
	t := c.shared
	c.cost, c.next, c.value, c.origin, c.count = t.cost[:c.size], t.next[:c.size], t.value[:c.size], t.origin[:c.size], t.count[:c.size]
	c.steps, c.landed = c.steps[:0], c.landed[:0]
	for stop := range t.steps {
		c.steps, c.landed = append(c.steps, t.steps[stop][:c.size]), append(c.landed, t.landed[stop][:c.size])
	}
}

// deal is packs of a source bought together.
type deal struct {
	amount, price float64
	packs         []int // per offer of the source
}

// step is how a position is come to at a stop.
type step struct {
	from  int32 // position before it
	deal  int16 // bought to be eaten in port, -1 when it is carried away
	packs [2]int16
}

// The lattice has about so many positions, and never much more.
const (
	fewPositions  = 700
	mostPositions = 2500
	mostDeals     = 60
	mostLimit     = 40 // a limit above this is none
)

// newChain is nil where the need is not served by one item only, has packs
// that must be bought, or packs too small for a lattice.
func newChain(m *Model, n *Need, shared *slate) *chain {
	c := &chain{n: n, shared: shared, sold: make([]int, m.Stops)}
	least, total, due := math.Inf(1), 0.0, 0.0
	for stop := range c.sold {
		c.sold[stop] = -1
	}
	for i := range n.Sources {
		s := &n.Sources[i]
		if s.Item != n.Sources[0].Item || len(s.Offers) > 2 {
			return nil
		}
		if s.Aboard >= 0 {
			c.start += s.Held
			continue
		}
		c.sold[s.Stop] = i
		for _, o := range s.Offers {
			if n.Offers[o].Min > 0 {
				return nil
			}
			least = min(least, n.Offers[o].Size)
		}
	}
	for _, g := range n.Segments {
		total += g.Amount
	}
	for _, x := range n.Due {
		due = max(due, x)
	}
	if len(n.Sources) == 0 || math.IsInf(least, 1) || (total+due)/least > mostPositions || total+due <= 0 {
		return nil
	}
	if !c.measure(m, total, due, least) {
		return nil
	}
	shared.fit(m.Stops, c.size)
	return c
}

func (c *chain) measure(m *Model, total, due, least float64) bool {
	n := c.n
	first := &n.Sources[0]
	c.taste, c.kg = first.Taste, first.Kg
	for p := range m.Stops {
		c.arrive = append(c.arrive, c.useBefore(2*p))
		c.depart = append(c.depart, c.useBefore(2*p+1))
	}
	c.choose(total+due, least)
	c.size = int(math.Ceil((total+due+least)/c.unit)) + 2
	for i := range n.Sources {
		for _, w := range n.Sources[i].Ways {
			c.litres = w.Litres
			known := false
			for _, r := range c.rooms {
				known = known || r == w.Room
			}
			if !known {
				c.rooms = append(c.rooms, w.Room)
			}
		}
	}
	c.reach(m)
	for stop := range m.Stops {
		c.deals = append(c.deals, c.inPort(stop))
		if len(c.deals[stop]) > mostDeals {
			return false
		}
	}
	return true
}

func (c *chain) useBefore(period int) float64 {
	use := 0.0
	for _, g := range c.n.Segments {
		if g.Period < period {
			use += g.Amount
		}
	}
	return use
}

// choose divides the smallest pack so that other packs are near to whole
// units too.
func (c *chain) choose(span, least float64) {
	low := max(1, int(fewPositions*least/span))
	best := math.Inf(1)
	for parts := low; parts <= 2*low; parts++ {
		unit, off := least/float64(parts), 0.0
		for _, o := range c.n.Offers {
			off = max(off, math.Ceil(o.Size/unit-1e-9)*unit/o.Size-1)
		}
		if off < best-1e-9 {
			best, c.unit = off, unit
		}
	}
}

// reach finds how far what has been bought up to a departure can go.
func (c *chain) reach(m *Model) {
	n := c.n
	for q := range m.Legs() {
		far := make([]float64, len(c.rooms))
		farthest, kept := c.depart[q], 0.0
		covers := false
		for i := range n.Sources {
			s := &n.Sources[i]
			if s.Stop > q {
				continue
			}
			for _, w := range s.Ways {
				end := 0.0
				for _, g := range n.Segments {
					if g.Period <= s.Last && w.keeps(g.End) {
						end += g.Amount
					}
				}
				for r := range c.rooms {
					if c.rooms[r] == w.Room {
						far[r] = max(far[r], end)
					}
				}
				farthest = max(farthest, end)
				for leg := q; leg < m.Legs() && 2*leg+1 <= s.Last; leg++ {
					if n.ReserveMiss > 0 && w.Expires >= n.Until[leg]-1e-9 {
						kept = max(kept, c.arrive[leg+1]+n.Due[leg])
						covers = covers || leg == q
					}
				}
			}
		}
		c.far = append(c.far, far)
		c.covers = append(c.covers, covers)
		c.top = append(c.top, min(c.size-1, c.at(max(farthest, kept))))
	}
}

// at is the position that is at least an amount.
func (c *chain) at(amount float64) int { return int(math.Ceil(amount/c.unit - 1e-7)) }

// inPort lists the packs that may pay when all is eaten in port at a stop.
func (c *chain) inPort(stop int) []deal {
	i := c.sold[stop]
	use := c.depart[stop] - c.arrive[stop]
	if i < 0 || use <= Slack {
		return nil
	}
	offers := c.n.Sources[i].Offers
	deals := []deal{{packs: make([]int, len(offers))}}
	for k, o := range offers {
		offer := c.n.Offers[o]
		for _, d := range slices.Clone(deals) {
			for packs := 1; packs <= offer.Limit && d.amount+float64(packs-1)*offer.Size < use && len(deals) < 10*mostDeals; packs++ {
				e := deal{d.amount + float64(packs)*offer.Size, d.price + float64(packs)*offer.Price, slices.Clone(d.packs)}
				e.packs[k] = packs
				deals = append(deals, e)
			}
		}
	}
	slices.SortStableFunc(deals, func(a, b deal) int {
		return cmp.Or(cmp.Compare(min(b.amount, use), min(a.amount, use)), cmp.Compare(a.price, b.price))
	})
	kept, least := deals[:0], math.Inf(1)
	for _, d := range deals {
		if d.price < least && d.amount > 0 {
			kept, least = append(kept, d), d.price
		}
	}
	return kept
}
