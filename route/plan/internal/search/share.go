package search

import "hardtack/route/plan/internal/simplex"

// sharing is a linear program of what is eaten and stowed of given packs of a
// need: it serves every segment from what the packs hold at least cost at the
// prices, where the orders of an allocator are only likely to be good.
type sharing struct {
	m       *Model
	n       *Need
	prices  *Prices
	lp      *simplex.LP
	row     []int   // of a source, -1 for none
	due     []int   // of a leg, -1 where no reserve is due
	cells   [][]int // of a room and departure, -1 where the need cannot fill what is free
	flows   []Flow
	first   int        // column of the first flow
	columns [][2][]int // per source: of what is eaten in port, and of what is carried away
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
	t, _ := k.shareFrom(nil, need, s)
	return t
}

// shareFrom goes on from where the same packs were shared out last, if ever, and
// returns where it stands.
func (k *seeker) shareFrom(f *sharing, need int, s *Schedule) (*Schedule, *sharing) {
	n := k.m.Needs[need]
	if f == nil {
		f = k.sharing(n, s, nil)
	} else {
		f.reprice(k.prices)
	}
	t := k.sharedOut(f, s)
	if k.load != nil && !k.load.fits(n, t) {
		f = k.sharing(n, s, k.load)
		if t = k.sharedOut(f, s); !k.load.fits(n, t) {
			return s, f
		}
	}
	if before := k.prices.cost(n, need, s); k.prices.cost(n, need, t) > before+1e-6*(1+before) {
		return s, f
	}
	return t, f
}

// sharing is the program for a schedule's packs.
func (k *seeker) sharing(n *Need, s *Schedule, room *Load) *sharing {
	f := newSharing(k.m, n, k.prices, room, s.Packs, false)
	f.open(s.Packs, s.carried(n))
	return f
}

// sharedOut is a schedule with its packs shared out.
func (k *seeker) sharedOut(f *sharing, s *Schedule) *Schedule {
	k.work.Left -= f.solve(mostShares)
	t := s.clone()
	f.read(t)
	k.recount(f.n, t)
	return t
}

// solve shares out with at most so many pivots and returns the work done.
func (f *sharing) solve(pivots int) int {
	before := f.lp.Touched()
	f.lp.Solve(pivots)
	return (f.lp.Touched() - before) / perSchedule
}

// reprice makes flows cost what they do at prices.
func (f *sharing) reprice(p *Prices) {
	f.prices = p
	for c, flow := range f.flows {
		if flow.Way < 0 {
			continue
		}
		source := &f.n.Sources[flow.Source]
		cost := p.hold(source, source.Ways[flow.Way], flow.To)
		if flow.Segment >= 0 {
			cost += source.Taste
		}
		f.lp.SetCost(f.first+c, cost)
	}
	f.lp.Price()
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
