package search

import "math"

// enter rules out what a fork and those before it rule out and mixes the rest;
// false when that cannot come below the best.
func (p *picker) enter(f *fork) bool {
	clear(p.out)
	for ; f != nil && f.at >= 0; f = f.from {
		p.rule(f)
	}
	for column, out := range p.out {
		p.lp.Rule(column, out)
	}
	_, below := p.lp.Restore(mostRestored, p.enough())
	p.charge(p.work)
	if !below {
		return false
	}
	p.gain(mostMixed, p.work)
	return p.lp.Cost() < p.enough()
}

// mostRestored is how many pivots are made at most before a fork is given up.
const mostRestored = 600

// mostMixed is how many pivots are made at most to mix what a fork leaves.
const mostMixed = 2000

// rule notes the columns that a fork rules out.
func (p *picker) rule(f *fork) {
	if stop := f.at - len(p.needs); stop >= 0 {
		if f.upper {
			p.out[p.none[stop]] = true
		}
		for t, column := range p.options[stop] {
			if (t < f.which) == f.upper {
				p.out[column] = true
			}
		}
		return
	}
	for g, c := range p.choices[f.at] {
		if (g == f.which) == f.upper {
			continue
		}
		for _, column := range c.columns {
			p.out[column] = true
		}
	}
}

// halve is where the mix comes nearest to one choice without making it; false
// when it makes one everywhere.
func (p *picker) halve() (next fork, ok bool) {
	const whole = 1 - 1e-6
	nearest := 0.0
	for k := range p.choices {
		if g, share := p.likeliest(k); share < whole && share > nearest {
			next, nearest, ok = fork{at: k, which: g, upper: true}, share, true
		}
	}
	for stop := range p.options {
		trips := p.tripsAt(stop)
		low := math.Floor(trips)
		if near := 1 - math.Abs(trips-math.Round(trips)); near < whole && near > nearest {
			next, nearest, ok = fork{at: len(p.needs) + stop, which: int(low), upper: trips-low > 0.5 || low == 0}, near, true
		}
	}
	return next, ok
}

// likeliest is the choice with the largest share in a need's mix.
func (p *picker) likeliest(k int) (which int, share float64) {
	for g, c := range p.choices[k] {
		sum := 0.0
		for _, column := range c.columns {
			sum += p.lp.Value(column)
		}
		if sum > share {
			which, share = g, sum
		}
	}
	return which, share
}

// keep makes schedules of the mix, which does nothing by halves, and keeps
// them when they fit and cost less than the best.
func (p *picker) keep() {
	load, cost := newLoad(p.m), 0.0
	load.copyFrom(p.load)
	before := load.tripsCost()
	a := newAllocator(p.m, load, newPrices(p.m))
	picked := make([]*Schedule, len(p.needs))
	for k, i := range p.needs {
		g, _ := p.likeliest(k)
		p.chosen[k] = newSchedule(p.m, p.m.Needs[i])
		copy(p.chosen[k].Packs, p.choices[k][g].packs)
		picked[k] = p.blended(k)
		p.chosen[k] = nil
		a.recount(p.m.Needs[i], picked[k])
		load.add(p.m.Needs[i], picked[k], 1)
		cost += picked[k].Own()
	}
	if cost += load.tripsCost() - before; cost < p.enough() && load.holds(p.load.all) {
		p.below, p.best = cost, picked
	}
}
