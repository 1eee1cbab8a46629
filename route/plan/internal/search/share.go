package search

import "hardtack/route/plan/internal/simplex"

// sharing is a linear program of what is eaten and stowed of given packs of a
// need: it serves every segment from what the packs hold at least cost at the
// prices, where the orders of an allocator are only likely to be good.
type sharing struct {
	k       *seeker
	n       *Need
	lp      *simplex.LP
	row     []int // of a source, -1 where nothing is bought of it
	due     []int // of a leg, -1 where no reserve is due
	flows   []Flow
	first   int // column of the first flow
	entries []simplex.Entry
}

// shareSeveral shares the packs of a need of several items out anew; for one
// item the usual orders do.
func (k *seeker) shareSeveral(need int, s *Schedule) *Schedule {
	if k.m.Needs[need].several() {
		return k.share(need, s)
	}
	return s
}

// share gives the packs of a schedule out anew at the prices. Nothing is
// carried away from where nothing was, so that lines and trips stay the same. It
// is the schedule itself where that is cheaper by more than a hair or the new one
// does not fit.
func (k *seeker) share(need int, s *Schedule) *Schedule {
	n := k.m.Needs[need]
	f := k.sharing(n, s.Packs, s.carried(n))
	f.solve()
	t := s.clone()
	f.read(t)
	k.recount(n, t)
	if before := k.prices.cost(n, need, s); k.prices.cost(n, need, t) > before+1e-6*(1+before) || k.load != nil && !k.load.fits(n, t) {
		return s
	}
	return t
}

// solve shares out, but for what very many pivots would bring.
func (f *sharing) solve() {
	f.lp.Solve(mostShares)
	f.k.work.Left -= f.lp.Touched() / perSchedule
}

// worths gives a hull what use and reserves are worth.
func (f *sharing) worths(h *hull) {
	for g := range f.n.Segments {
		h.worth[g] = min(f.n.Miss, max(0, f.lp.Dual(g)))
	}
	for leg, at := range f.due {
		if h.keep[leg] = 0; at >= 0 {
			h.keep[leg] = min(f.n.ReserveMiss, max(0, f.lp.Dual(at)))
		}
	}
}

// read sets the flows of a schedule.
func (f *sharing) read(s *Schedule) {
	s.Flows = s.Flows[:0]
	for c, flow := range f.flows {
		if flow.Amount = f.lp.Value(f.first + c); flow.Amount > 0 {
			s.Flows = append(s.Flows, flow)
		}
	}
}

// mostShares is how many pivots are made at most; fewer give a schedule too.
const mostShares = 400

// sharing sets the program up: rows for use, for what the packs hold and for
// reserves, columns for every way of serving a segment or of holding on to
// something for a reserve.
func (k *seeker) sharing(n *Need, packs []int, carried []bool) *sharing {
	f := &sharing{k: k, n: n}
	var costs, rhs []float64
	add := func(cost, limit float64) int {
		costs, rhs = append(costs, cost), append(rhs, limit)
		return len(costs) - 1
	}
	for _, g := range n.Segments {
		add(n.Miss, g.Amount)
	}
	for i := range n.Sources {
		at := -1
		if supply := n.supply(i, packs); supply > 0 {
			at = add(0, supply)
		}
		f.row = append(f.row, at)
	}
	for _, due := range n.Due {
		at := -1
		if n.ReserveMiss > 0 && due > Slack {
			at = add(n.ReserveMiss, due)
		}
		f.due = append(f.due, at)
	}
	f.lp = simplex.New(costs, rhs)
	for _, at := range f.due {
		if at >= 0 {
			f.lp.Add(0, []simplex.Entry{{Row: at, Value: -1}}) // more is held than is due
		}
	}
	f.first = f.lp.Columns()
	for i, at := range f.row {
		if at >= 0 {
			f.offer(i, carried[i] || n.Sources[i].Aboard >= 0)
		}
	}
	return f
}

// offer adds all that may become of what is bought of a source.
func (f *sharing) offer(i int, carried bool) {
	source, x := &f.n.Sources[i], &f.n.lay.spans[i]
	for g := int(x.from); g < int(x.till); g++ {
		if x.direct(g) {
			f.column(Flow{Source: i, Way: -1, Segment: g, To: -1}, source.Taste)
			continue
		}
		if !carried {
			return
		}
		to := int(f.n.lay.to[g])
		for w, way := range source.Ways {
			if cost := source.Taste + f.k.prices.hold(source, way, to); g < int(x.ways[w]) && cost < f.n.Miss {
				f.column(Flow{Source: i, Way: w, Segment: g, To: to}, cost)
			}
		}
	}
	if !carried {
		return
	}
	for leg, at := range f.due {
		if at < 0 || leg < source.Stop || source.Last < 2*leg+1 {
			continue
		}
		for w, way := range source.Ways {
			if x.counts[w][leg] > 0 {
				f.column(Flow{Source: i, Way: w, Segment: -1, To: leg}, f.k.prices.hold(source, way, leg))
			}
		}
	}
}

// column adds a flow at a cost.
func (f *sharing) column(flow Flow, cost float64) {
	f.entries = append(f.entries[:0], simplex.Entry{Row: f.row[flow.Source], Value: 1})
	if flow.Segment >= 0 {
		f.entries = append(f.entries, simplex.Entry{Row: flow.Segment, Value: 1})
	}
	if flow.Way >= 0 {
		counts := f.n.lay.spans[flow.Source].counts[flow.Way]
		for leg := f.n.Sources[flow.Source].Stop; leg <= flow.until(f.n); leg++ {
			if f.due[leg] >= 0 && counts[leg] > 0 {
				f.entries = append(f.entries, simplex.Entry{Row: f.due[leg], Value: 1})
			}
		}
	}
	f.lp.Add(cost, f.entries)
	f.flows = append(f.flows, flow)
}
