package search

import "math"

// run splits the part with the lowest bound, again and again until the bound
// meets what is known to be reached or so much effort is spent.
func (c *closer) run(known, effort float64) float64 {
	c.known = min(c.known, known)
	c.until = c.effort + effort
	for c.effort < c.until {
		p := c.lowest()
		if p == nil {
			break
		}
		if p.next.kind == 0 {
			c.settle(p)
		} else {
			c.split(p)
		}
	}
	return c.bound()
}

// split puts the halves of a part in its place, bounded at once: both start from
// the part's mix, out of which only what they forbid must be driven.
func (c *closer) split(p *part) {
	if c.splits++; c.at != p {
		c.start(p.basis)
		c.at = p
		c.enter(p)
		c.restore()
		if !c.solve() {
			p.basis = c.lp.Basis(p.basis[:0:0])
			c.parts = append(c.parts, p)
			return
		}
	}
	c.lp.Save(&c.state)
	for _, upper := range [2]bool{false, true} {
		l := p.next
		l.upper = upper
		half := &part{from: p, limit: l, bound: p.bound, worth: p.worth, basis: p.basis}
		if c.effort >= c.until {
			c.parts = append(c.parts, half)
			continue
		}
		if upper {
			c.lp.Load(&c.state)
		}
		c.at = half
		if !c.settle(half) {
			return
		}
	}
}

// settle bounds a part and keeps it for splitting unless that is all there is
// to do. It is false when all had to begin anew.
func (c *closer) settle(p *part) bool {
	if c.at != p {
		c.start(p.basis)
		c.at = p
	}
	cost, ended := c.raise(p, false)
	if ended && p.bound < c.enough() && c.halves().limit.kind == 0 {
		cost, ended = c.raise(p, true)
	}
	h := c.halves()
	if ended && (p.from == nil || h.limit.kind == 0) && c.overfills() {
		for p.from != nil {
			p = p.from
		}
		p.basis, p.next = nil, limit{}
		c.begin(p)
		return false
	}
	p.basis = c.lp.Basis(p.basis[:0:0])
	switch {
	case p.bound >= c.enough():
		c.done = min(c.done, p.bound)
	case !ended:
		c.parts = append(c.parts, p)
	case h.limit.kind == 0:
		c.done = min(c.done, p.bound)
		if h.real-cost < 1e-6*(1+cost) {
			c.take(h.real)
		}
	default:
		p.next = h.limit
		p.fixed = c.fix(p)
		c.parts = append(c.parts, p)
		if c.splits < 4 || c.splits%4 == 0 {
			c.guess()
		}
	}
	return true
}

// halved is where the mix does most by halves, and what it really costs.
type halved struct {
	limit limit
	worst float64
	real  float64
}

func (h *halved) consider(worth float64, l limit) {
	if worth > h.worst {
		h.worst, h.limit = worth, l
	}
}

// halves looks for what the mix does by halves, by what a whole of it costs.
func (c *closer) halves() halved {
	packs, away := c.shares()
	h := halved{worst: 1e-6, real: c.lp.Cost() + c.paid()}
	most, all := make([]float64, len(c.trips)), make([]float64, len(c.trips))
	for i := range c.n.Sources {
		s := &c.n.Sources[i]
		if s.Aboard >= 0 {
			continue
		}
		most[s.Stop], all[s.Stop] = max(most[s.Stop], away[i]), all[s.Stop]+away[i]
		h.consider(off(away[i])*c.h.sources[i].fixed, limit{kind: ofSource, at: i})
		for _, o := range s.Offers {
			x, most := &c.n.Offers[o], int(math.Floor(packs[o]))
			if most >= x.Min && most < x.Limit { // else the mix does what is forbidden
				h.consider(off(packs[o])*x.Price, limit{kind: ofPacks, at: o, most: most})
			}
		}
	}
	for stop, share := range most {
		if c.trips[stop] != either || share < 1e-5 {
			continue
		}
		spared := c.open[stop] * (1 - all[stop]/float64(c.n.soldAt(stop)))
		h.real += spared
		h.consider(min(share, 1)*spared, limit{kind: ofStop, at: stop})
	}
	return h
}

// off is how far from a whole number, 0 when next to nothing.
func off(x float64) float64 {
	if d := math.Abs(x - math.Round(x)); d > 1e-5 {
		return d
	}
	return 0
}

// shares are the packs the mix buys of every offer, and how much of every
// source's part in it carries something away.
func (c *closer) shares() (packs, away []float64) {
	packs, away = make([]float64, len(c.n.Offers)), make([]float64, len(c.n.Sources))
	for i := range c.n.Sources {
		for _, o := range c.n.Sources[i].Offers {
			packs[o] = float64(c.whole.Offers[o].Min) * c.lp.Value(c.first+i)
		}
	}
	for k := range c.deals {
		d := &c.deals[k]
		share := c.lp.Value(d.column)
		if share <= 1e-9 {
			continue
		}
		for j, o := range c.n.Sources[d.source].Offers {
			packs[o] += share * float64(d.packs[j])
		}
		if d.carried {
			away[d.source] += share
		}
	}
	return packs, away
}
