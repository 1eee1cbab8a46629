package search

import "context"

// Probe is the root of a search laid open, for tests and traces.
type Probe struct {
	s *season
	x *mixer
}

func NewProbe(m *Model, o Options) *Probe {
	s := newSeason(context.Background(), m, o)
	all := make([]int, len(m.Needs))
	for i := range all {
		all[i] = i
	}
	x := s.mixer(all, newLoad(m), s.prices)
	x.generate(25, 1e-4, o.Trace)
	return &Probe{s, x}
}

// Compare recounts a schedule and returns its priced cost, and the least
// priced cost of the need found.
func (p *Probe) Compare(i int, t *Schedule) (priced, found float64, best *Schedule) {
	p.x.recount(p.s.m.Needs[i], t)
	best, v := p.x.fresh(i)
	best, v = p.x.polish(i, best, v)
	for _, c := range p.x.pool[i] {
		b := c.schedule.clone()
		w := p.x.value(i, b)
		b, w = p.x.polish(i, b, w)
		if w < v {
			best, v = b, w
		}
	}
	return p.Priced(i, t), v, best
}

func (p *Probe) Priced(i int, t *Schedule) float64 {
	cost := p.x.columnCost(i, t)
	n := p.s.m.Needs[i]
	for _, f := range t.Flows {
		if f.Way >= 0 {
			s := &n.Sources[f.Source]
			cost += f.Amount * p.s.prices.hold(s, s.Ways[f.Way], f.To)
		}
	}
	return cost
}
