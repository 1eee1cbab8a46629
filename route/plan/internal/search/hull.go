package search

import (
	"math"
	"slices"
)

// A need at prices, bounded from below: every segment is worth something
// (worth, at most the cost of going without) and so is every unit of reserve
// (keep). Then each source stands alone: it buys packs and sells what is in
// them where that pays most. Worths are raised and lowered until what is sold
// is about what is used; any worths give a bound.
type hull struct {
	m       *Model
	n       *Need
	sources []outlet
	worth   []float64 // per segment
	keep    []float64 // per leg
	sold    []float64 // per segment, at the last evaluation
	kept    []float64 // per leg
	along   []float64 // per segment and then leg: the mean of steps
	most    float64   // reserve-only units beyond this are worth nothing
	spent   int       // evaluations
	sales   []sale
	sums    []sum
}

// outlet is a source with all it can sell to.
type outlet struct {
	source *Source
	fixed  float64 // line and share of the stop's trip, once anything is carried away
	uses   []use
	covers [][]bool    // per way and leg: held then, it counts for the reserve
	credit [][]float64 // per way and leg: worth of keeping it from its stop over the legs before
}

// use is a segment served on a way at a cost without the goods.
type use struct {
	segment, way, to, until int
	cost                    float64
}

// sale is what a unit sold on a use earns.
type sale struct {
	profit, amount float64
	use            *use
	carried        bool
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
			o.uses = append(o.uses, use{g, -1, -1, -1, s.Taste})
			continue
		}
		if closed || !s.Serves(segment) {
			continue
		}
		to := lastDeparture(segment.Period)
		for w, way := range s.Ways {
			if way.keeps(segment.End) {
				until := Flow{Segment: g, To: to}.until(h.n)
				o.uses = append(o.uses, use{g, w, to, until, s.Taste + p.hold(s, way, to)})
			}
		}
	}
	if !closed {
		h.keepUses(p, &o)
	}
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

// keepUses adds holding for the reserve only.
func (h *hull) keepUses(p *Prices, o *outlet) {
	if h.n.ReserveMiss == 0 {
		return
	}
	s := o.source
	for w, way := range s.Ways {
		for leg := s.Stop; leg < h.m.Legs() && 2*leg+1 <= s.Last; leg++ {
			if way.Expires >= h.n.Until[leg]-1e-9 {
				o.uses = append(o.uses, use{-1, w, leg, leg, p.hold(s, way, leg)})
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

// market lists what pays for an outlet at the worths, the best first.
func (h *hull) market(o *outlet) {
	h.sales = h.sales[:0]
	for w := range o.credit {
		for leg := o.source.Stop; leg < h.m.Legs(); leg++ {
			o.credit[w][leg+1] = o.credit[w][leg]
			if o.covers[w][leg] {
				o.credit[w][leg+1] += h.keep[leg]
			}
		}
	}
	tail := sale{}
	for k := range o.uses {
		u := &o.uses[k]
		profit := -u.cost
		if u.way >= 0 {
			profit += o.credit[u.way][u.until+1]
		}
		if u.segment < 0 {
			if profit > tail.profit {
				tail = sale{profit, h.most, u, true}
			}
			continue
		}
		profit += h.worth[u.segment]
		if profit <= 0 {
			continue
		}
		if last := len(h.sales) - 1; last >= 0 && h.sales[last].use.segment == u.segment {
			if profit > h.sales[last].profit { // another way for the same segment
				h.sales[last] = sale{profit, h.n.Segments[u.segment].Amount, u, u.way >= 0}
			}
			continue
		}
		h.sales = append(h.sales, sale{profit, h.n.Segments[u.segment].Amount, u, u.way >= 0})
	}
	if tail.profit > 0 {
		h.sales = append(h.sales, tail)
	}
	slices.SortStableFunc(h.sales, func(a, b sale) int {
		switch {
		case a.profit > b.profit:
			return -1
		case a.profit < b.profit:
			return 1
		}
		return 0
	})
}

// best is what an outlet earns at most, and counts what it sells.
func (h *hull) best(o *outlet) float64 {
	h.add(true)
	carried, amount := h.buy(o)
	carried -= o.fixed
	h.add(false)
	direct, little := h.buy(o)
	if direct >= carried {
		h.sell(o, little, false)
		return direct
	}
	h.sell(o, amount, true)
	return carried
}

// add sums the sales, with or without what must be carried away.
func (h *hull) add(carried bool) {
	h.sums = append(h.sums[:0], sum{})
	last := sum{}
	for _, s := range h.sales {
		if s.carried && !carried {
			continue
		}
		last.amount += s.amount
		last.profit += s.amount * s.profit
		h.sums = append(h.sums, last)
	}
}

// earns is the profit of selling an amount, or all that pays.
func (h *hull) earns(amount float64) float64 {
	low, high := 0, len(h.sums)-1
	if amount >= h.sums[high].amount {
		return h.sums[high].profit
	}
	for high-low > 1 {
		mid := (low + high) / 2
		if h.sums[mid].amount <= amount {
			low = mid
		} else {
			high = mid
		}
	}
	a, b := h.sums[low], h.sums[high]
	return a.profit + (b.profit-a.profit)*(amount-a.amount)/(b.amount-a.amount)
}

// buy returns the most that can be earned less the price of the packs, and
// the amount in them.
func (h *hull) buy(o *outlet) (earned, amount float64) {
	if o.source.Aboard >= 0 {
		return h.earns(o.source.Held), o.source.Held
	}
	return h.buyFrom(o.source.Offers, 0, 0)
}

// buyFrom goes through the counts of each offer but the last, whose best
// count follows since earnings are concave.
func (h *hull) buyFrom(offers []int, amount, spent float64) (earned, supply float64) {
	if len(offers) == 0 {
		return h.earns(amount) - spent, amount
	}
	offer := &h.n.Offers[offers[0]]
	total := h.sums[len(h.sums)-1].amount
	earned = math.Inf(-1)
	try := func(packs int) {
		e, s := h.buyFrom(offers[1:], amount+float64(packs)*offer.Size, spent+float64(packs)*offer.Price)
		if e > earned {
			earned, supply = e, s
		}
	}
	if len(offers) == 1 {
		low := min(offer.Limit, max(offer.Min, int(math.Floor((h.above(offer.Price/offer.Size)-amount)/offer.Size))))
		try(low)
		if low < offer.Limit {
			try(low + 1)
		}
		return earned, supply
	}
	for packs := offer.Min; packs <= offer.Limit; packs++ {
		try(packs)
		if amount+float64(packs)*offer.Size >= total {
			break
		}
	}
	return earned, supply
}

// above is the amount that sells at a profit above a price.
func (h *hull) above(price float64) float64 {
	for k := 1; k < len(h.sums); k++ {
		a, b := h.sums[k-1], h.sums[k]
		if b.profit-a.profit <= price*(b.amount-a.amount) {
			return a.amount
		}
	}
	return h.sums[len(h.sums)-1].amount
}

// sell counts what an outlet sells of an amount.
func (h *hull) sell(o *outlet, amount float64, carried bool) {
	for _, s := range h.sales {
		if amount <= 0 {
			return
		}
		if s.carried && !carried {
			continue
		}
		part := min(amount, s.amount)
		amount -= part
		if s.use.segment >= 0 {
			h.sold[s.use.segment] += part
		}
		if s.use.way < 0 {
			continue
		}
		for leg := o.source.Stop; leg <= s.use.until; leg++ {
			if o.covers[s.use.way][leg] {
				h.kept[leg] += part
			}
		}
	}
}
