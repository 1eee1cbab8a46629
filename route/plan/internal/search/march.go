package search

import (
	"cmp"
	"math"
	"slices"
)

// march makes a schedule for a need at prices by going along its use, counted
// in need-units from the start of the route: every source in turn serves a
// stretch of it, as far as its packs and its life go. Sources come in the
// order of their stops; at each stop what is sold there first, what lasts
// longest last, then again what was bought before, so that fresh food may be
// eaten in between. It is quick and knows each source's life and spaces, but
// neither the reserves nor what others leave room for; and what is bought for
// two stretches is rounded to packs twice.
type march struct {
	n      *Need
	unit   float64
	size   int
	ends   []int // per segment: the position at its end
	arrive []int // per stop
	depart []int
	visits []visit
	goods  [][]int // per source: the offers gone by
	shared *slate
	marched
}

// visit is a source's turn, or, with source -1, use gone without.
type visit struct {
	source    int
	stay      bool // eaten in port only
	low, high int  // positions it can serve
}

// step says from where a position is come to, -1 for itself, and by how many
// packs of the source's offers.
type step struct {
	from  int32
	packs [mostGoods]int16
}

// aboutPositions is how many positions a march has.
const aboutPositions = 300

// newMarch is nil where there is nothing to do.
func newMarch(m *Model, n *Need, shared *slate) *march {
	w := &march{n: n, shared: shared, arrive: make([]int, m.Stops), depart: make([]int, m.Stops)}
	for i := range n.Sources {
		w.goods = append(w.goods, n.likeliest(i))
	}
	total := 0.0
	for _, g := range n.Segments {
		total += g.Amount
	}
	if w.unit = n.lattice(total / aboutPositions); total <= Slack || w.unit <= 0 {
		return nil
	}
	used, period := 0.0, 0
	begin := func(to int) {
		for ; period <= to; period++ {
			if period%2 == 0 {
				w.arrive[period/2] = w.near(used)
			} else {
				w.depart[period/2] = w.near(used)
			}
		}
	}
	for _, g := range n.Segments {
		begin(g.Period)
		used += g.Amount
		w.ends = append(w.ends, w.near(used))
	}
	begin(2*m.Stops - 1)
	w.size = w.near(used) + 1
	w.list(m)
	shared.fitMarch(w.size, w.size*len(w.visits), len(n.Sources)*len(n.Segments))
	return w
}

// on is the same march on another slate.
func (w *march) on(t *slate) *march {
	if w == nil {
		return nil
	}
	d := *w
	d.shared, d.marched = t, marched{}
	return &d
}

// noted is what is noted of a turn.
func (w *march) noted(k int) []step { return w.shared.steps[k*w.size : (k+1)*w.size] }

func (w *march) near(amount float64) int { return int(math.Round(amount / w.unit)) }

// lattice is a unit of about a size of which all packs are nearly multiples, 0
// when nothing is sold.
func (n *Need) lattice(about float64) float64 {
	least := math.Inf(1)
	for _, o := range n.Offers {
		if o.Limit > 0 {
			least = min(least, o.Size)
		}
	}
	if math.IsInf(least, 1) {
		return 0
	}
	low := max(1, int(math.Round(least/about)))
	unit, best := 0.0, math.Inf(1)
	for parts := low; parts <= 2*low+1; parts++ {
		off, u := 0.0, least/float64(parts)
		for _, o := range n.Offers {
			off += math.Abs(math.Round(o.Size/u)*u/o.Size - 1)
		}
		if off < best-1e-9 {
			best, unit = off, u
		}
	}
	return unit
}

// likeliest are the offers of a source of which a unit is cheapest, no more than a step
// has room for.
func (n *Need) likeliest(source int) []int {
	offers := slices.Clone(n.Sources[source].Offers)
	if len(offers) > mostGoods {
		slices.SortStableFunc(offers, func(a, b int) int {
			return cmp.Compare(n.Offers[a].Price*n.Offers[b].Size, n.Offers[b].Price*n.Offers[a].Size)
		})
		offers = offers[:mostGoods]
	}
	return offers
}

// list puts the sources in order.
func (w *march) list(m *Model) {
	order := make([]int, len(w.n.Sources))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int {
		s, t := &w.n.Sources[a], &w.n.Sources[b]
		return cmp.Or(cmp.Compare(t.Aboard, s.Aboard), cmp.Compare(s.life(), t.life()))
	})
	for stop := range m.Stops {
		for _, i := range order {
			if w.n.Sources[i].Stop == stop {
				w.visit(i, stop)
			}
		}
		for _, i := range order {
			if s := &w.n.Sources[i]; s.Stop < stop && s.Aboard < 0 && !w.beaten(i, stop) {
				w.visit(i, stop)
			}
		}
		limit := w.size - 1
		if stop+1 < m.Stops {
			limit = w.arrive[stop+1]
		}
		w.visits = append(w.visits, visit{source: -1, high: limit})
	}
}

// beaten says whether the same item was sold later, up to a stop, for no more.
func (w *march) beaten(i, stop int) bool {
	s := &w.n.Sources[i]
	for j := range w.n.Sources {
		t := &w.n.Sources[j]
		if t.Item == s.Item && t.Aboard < 0 && t.Stop > s.Stop && t.Stop <= stop && w.n.UnitPrice(j) <= w.n.UnitPrice(i) {
			return true
		}
	}
	return false
}

// visit adds a source's turn at a stop.
func (w *march) visit(i, stop int) {
	s := &w.n.Sources[i]
	if s.Aboard < 0 && math.IsInf(w.n.UnitPrice(i), 1) {
		return
	}
	add := func(stay bool, high int) {
		if low := w.arrive[stop]; high > low {
			w.visits = append(w.visits, visit{source: i, stay: stay, low: low, high: high})
		}
	}
	if s.Aboard < 0 && s.Stop == stop {
		add(true, w.depart[stop])
	}
	high := 0
	for g, segment := range w.n.Segments {
		if segment.Period < 2*stop {
			continue
		}
		if !s.Serves(segment) {
			break
		}
		high = w.ends[g]
	}
	if len(s.Ways) > 0 {
		add(false, high)
	}
}

// run marches at the prices and sets the packs of a schedule.
func (w *march) run(p *Prices, need int, s *Schedule) {
	t := &w.shared.marched
	w.marched = marched{t.cost[:w.size], t.upto[:w.size], t.bare[:w.size], t.steps[:w.size]}
	w.rate(p)
	for k := range w.cost {
		w.cost[k] = math.Inf(1)
	}
	w.cost[0] = 0
	for k := range w.visits {
		w.turn(p, need, &w.visits[k], w.noted(k))
	}
	w.trace(s)
}

// rate finds what a unit of every source costs in every segment, without
// packs: liking, and room where it is cheapest.
func (w *march) rate(p *Prices) {
	for i := range w.n.Sources {
		s, rates := &w.n.Sources[i], w.rates(i)
		for g, segment := range w.n.Segments {
			if s.direct(segment.Period) {
				rates[g] = s.Taste
				continue
			}
			least := math.Inf(1)
			if s.Serves(segment) {
				to := lastDeparture(segment.Period)
				for _, way := range s.Ways {
					if way.keeps(segment.End) {
						least = min(least, p.hold(s, way, to))
					}
				}
			}
			rates[g] = s.Taste + least
		}
	}
}

// rates is what a unit of a source costs in every segment, without packs.
func (w *march) rates(i int) []float64 {
	return w.shared.rates[i*len(w.n.Segments) : (i+1)*len(w.n.Segments)]
}

// effort is the work of a march, in schedules allocated.
func (w *march) effort() int { return 2 + len(w.visits)*w.size/5000 }
