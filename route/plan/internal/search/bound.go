package search

import "math"

// lower bounds the cost of every plan with trips between the mixer's limits
// from below: what each need costs at least when it pays the mixer's prices
// of cells and trips, less what all the room is worth.
func (s *season) lower(x *mixer, rounds int) float64 {
	if s.work.cancelled() && s.bound > 0 {
		return s.bound
	}
	return s.proof(x, rounds).bound()
}

// proof bounds every need by its chain and its hull.
func (s *season) proof(x *mixer, rounds int) *proof {
	p := newPrices(s.m)
	p.copyFrom(x.seeker.prices)
	copy(p.closed, x.seeker.prices.closed)
	f := &proof{season: s, prices: p, closers: make([]*closer, len(s.m.Needs)),
		rise: make([]float64, len(s.m.Needs)), mends: make([]*mending, len(s.m.Needs))}
	for stop := range s.m.TripCost {
		f.base += x.tripTerm(p, stop)
	}
	for r, row := range p.Cell {
		for _, price := range row {
			if price > 0 {
				f.base -= price * s.m.Room[r]
			}
		}
	}
	p.settle()
	f.least, f.own = make([]float64, len(s.m.Needs)), make([]float64, len(s.m.Needs))
	for from := 0; from < len(f.own); from += together {
		if s.over() {
			rounds = 0
		}
		x.each(min(together, len(f.own)-from), func(t *seeker, at int) {
			f.least[from+at], f.own[from+at] = s.own(x, t, p, from+at, rounds)
		})
	}
	return f
}

// together is how many needs are bounded between two looks at the budget.
const together = 16

// own is a cost of a need that is reached at prices, and what it costs at least.
func (s *season) own(x *mixer, t *seeker, p *Prices, i, rounds int) (known, own float64) {
	_, known = x.least(p, i)
	own = math.Inf(-1)
	if c := t.chains[i]; c != nil && !t.work.cancelled() {
		own = c.bound(p, i)
		t.work.Left -= c.effort()
	}
	if own < known*(1-enough) || s.worth[i] == nil {
		own = max(own, s.hullBound(t, p, i, known, rounds))
	}
	return known, own
}

// enough is how near, as a part, a chain's bound must come to a known cost
// for a hull not to be asked too.
const enough = 1e-3

// hullBound is what a need costs at least by its hull.
func (s *season) hullBound(t *seeker, p *Prices, i int, target float64, rounds int) float64 {
	h := newHull(s.m, p, i)
	h.start(s.worth[i])
	bound := h.ascend(target, rounds)
	s.worth[i] = h.worths()
	t.work.Left -= h.spent * 2
	return bound
}

// tripTerm is the least that trips at a stop cost beyond what the needs pay
// for them: each pays by weight, and once if it carries anything away. Where
// there may be any number of trips the needs pay no more than one costs, by
// weight first; higher prices come of mixes that are not settled, or where all
// carry something away in any case.
func (x *mixer) tripTerm(p *Prices, stop int) float64 {
	if x.high[stop] < 1 { // nothing is carried away
		return 0
	}
	each, once := x.seeker.m.TripCost[stop], 0.0
	free := math.IsInf(x.high[stop], 1)
	if p.Kg[stop] > 0 {
		if free {
			p.Kg[stop] = min(p.Kg[stop], each/x.seeker.m.Carry[stop])
		}
		each -= p.Kg[stop] * x.seeker.m.Carry[stop]
	}
	for i := range p.Open {
		once += p.Open[i][stop]
	}
	if free && once > max(each, 0) {
		for i := range p.Open {
			p.Open[i][stop] *= max(each, 0) / once * (1 - 1e-12)
		}
		once = max(each, 0)
	}
	low, high := x.low[stop], min(x.high[stop], x.seeker.m.mostTrips(stop))
	trips := max(low, 1)
	if each < 0 {
		trips = high
	}
	term := each*trips - once
	if low == 0 {
		term = min(term, 0)
	}
	return term
}
