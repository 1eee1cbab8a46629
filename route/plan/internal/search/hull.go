package search

import "math"

// A need at prices, bounded from below: every segment is worth something
// (worth, at most the cost of going without) and so is every unit of reserve
// (keep). Then each source stands alone: it buys packs and sells what is in
// them where that pays most. Worths are raised and lowered until what is sold
// is about what is used; any worths give a bound.
type hull struct {
	m       *Model
	n       *Need
	sources []outlet
	worth   []float64   // per segment
	keep    []float64   // per leg
	sold    []float64   // per segment, at the last evaluation
	kept    []float64   // per leg
	takes   [][]float64 // per room and departure: what is sold takes up; nil when nobody asks
	along   []float64   // per segment and then leg: the mean of steps
	most    float64     // reserve-only units beyond this are worth nothing
	spent   int         // evaluations
	sales   []sale
	mixed   []sale // room to sort them in
	ranks   []rank
	sums    []sum

	tried, bought  []int // packs of an outlet's offers: those tried, those that earn most
	earned, supply float64
}

// outlet is a source with all it can sell to.
type outlet struct {
	source *Source
	fixed  float64 // line and share of the stop's trip, once anything is carried away
	uses   []use
	carry  float64     // most that can be carried away
	covers [][]bool    // per way and leg: held then, it counts for the reserve
	credit [][]float64 // per way and leg: worth of keeping it from its stop over the legs before
}

// use is a segment served on a way at a cost without the goods.
type use struct {
	segment, way, to, until int
	cost, extra             float64 // extra is a closer's, for room that the need fills alone
}

// sale is what a unit sold on a use earns.
type sale struct {
	profit, amount float64
	use            *use
	carried        bool
}

// rank is where a sale was before sorting.
type rank struct {
	profit float64
	at     int
}

// sum is what the sales up to one earn together.
type sum struct{ amount, profit float64 }

func newHull(m *Model, p *Prices, need int) *hull {
	n := m.Needs[need]
	h := &hull{m: m, n: n, worth: make([]float64, len(n.Segments)), keep: make([]float64, m.Legs()),
		sold: make([]float64, len(n.Segments)), kept: make([]float64, m.Legs()),
		along: make([]float64, len(n.Segments)+m.Legs())}
	for _, due := range n.Due {
		h.most = max(h.most, due)
	}
	for i := range n.Sources {
		h.sources = append(h.sources, h.outlet(p, need, &n.Sources[i]))
	}
	return h
}

func (h *hull) outlet(p *Prices, need int, s *Source) outlet {
	o := outlet{source: s}
	if s.Aboard < 0 {
		o.fixed = s.Line + p.Open[need][s.Stop]/float64(h.n.soldAt(s.Stop))
	}
	closed := s.Aboard < 0 && p.closed[s.Stop]
	for g, segment := range h.n.Segments {
		if s.direct(segment.Period) {
			o.uses = append(o.uses, use{segment: g, way: -1, to: -1, until: -1, cost: s.Taste})
			continue
		}
		if closed || !s.Serves(segment) {
			continue
		}
		to := lastDeparture(segment.Period)
		for w, way := range s.Ways {
			if way.keeps(segment.End) {
				until := Flow{Segment: g, To: to}.until(h.n)
				o.uses = append(o.uses, use{segment: g, way: w, to: to, until: until, cost: s.Taste + p.hold(s, way, to)})
			}
		}
	}
	if !closed {
		h.keepUses(p, &o)
	}
	o.carry = h.m.most(s)
	for _, way := range s.Ways {
		covers := make([]bool, h.m.Legs())
		for leg := s.Stop; leg < len(covers); leg++ {
			covers[leg] = way.Expires >= h.n.Until[leg]-1e-9
		}
		o.covers = append(o.covers, covers)
		o.credit = append(o.credit, make([]float64, h.m.Legs()+1))
	}
	return o
}

// most is what the rooms of a source's ways hold together, all of it being
// aboard at its first departure.
func (m *Model) most(s *Source) float64 {
	all := 0.0
	for _, w := range s.Ways {
		if w.Litres == 0 {
			all = math.Inf(1)
			continue
		}
		all += m.Room[w.Room] / w.Litres
	}
	if s.Kg > 0 {
		all = min(all, m.Room[m.Payload()]/s.Kg)
	}
	return all
}

// keepUses adds holding for the reserve only.
func (h *hull) keepUses(p *Prices, o *outlet) {
	if h.n.ReserveMiss == 0 {
		return
	}
	s := o.source
	for w, way := range s.Ways {
		for leg := s.Stop; leg < h.m.Legs() && 2*leg+1 <= s.Last; leg++ {
			if way.Expires >= h.n.Until[leg]-1e-9 {
				o.uses = append(o.uses, use{segment: -1, way: w, to: leg, until: leg, cost: p.hold(s, way, leg)})
			}
		}
	}
}

// soldAt counts the items sold at a stop, which share its trip.
func (n *Need) soldAt(stop int) int {
	count := 0
	for i := range n.Sources {
		if s := &n.Sources[i]; s.Stop == stop && s.Aboard < 0 && len(s.Ways) > 0 {
			count++
		}
	}
	return max(count, 1)
}

// evaluate returns the bound at the worths and notes what is sold and kept.
func (h *hull) evaluate() float64 {
	h.spent++
	bound := 0.0
	clear(h.sold)
	clear(h.kept)
	for _, row := range h.takes {
		clear(row)
	}
	for g, segment := range h.n.Segments {
		bound += segment.Amount * h.worth[g]
	}
	for leg, due := range h.n.Due {
		bound += due * h.keep[leg]
	}
	for i := range h.sources {
		o := &h.sources[i]
		h.market(o)
		bound -= h.best(o)
	}
	return bound
}
