package search

import (
	"math"
	"slices"

	"hardtack/route/plan/internal/simplex"
)

// narrower looks for packs of one need by which a mix gets least dearer, what
// is settled of all others staying and the rest a mix still: it goes from part
// to part of all packs, with the number of one offer limited further in each,
// makes schedules for it and tries what comes of them.
type narrower struct {
	*mixer
	k     int // of the mixer's needs
	whole *Need
	open  []*narrowed
	best  *Schedule
	least float64 // cost of the mix with the best
}

// narrowed is a part of all packs: those of the one it comes from with limits
// of one offer.
type narrowed struct {
	from   *narrowed
	offer  int // -1 for all packs
	limits between
	cost   float64        // of the mix before it
	state  *simplex.State // that mix
}

// narrow looks for packs of a need better than those tried, in as many parts as
// the mixer's care says.
func (x *mixer) narrow(best tried) tried {
	x.own()
	i := x.needs[best.need]
	d := &narrower{mixer: x, k: best.need, whole: x.seeker.m.Needs[i], best: best.schedule, least: best.cost}
	chain, march, stood := x.chains[i], x.marches[i], d.save()
	f := &narrowed{offer: -1}
	for parts := x.parts; f != nil && parts > 0 && !x.work.over(); parts-- {
		if f = d.explore(f); f == nil {
			f = d.next()
		}
	}
	x.seeker.m.Needs[i], x.chains[i], x.marches[i] = d.whole, chain, march
	d.rule()
	x.lp.Load(stood)
	x.reprice()
	return tried{d.k, d.best, d.least}
}

// own gives the mixer a model of its own, in which needs may be narrowed.
func (x *mixer) own() {
	if x.owned {
		return
	}
	m := *x.seeker.m
	m.Needs = slices.Clone(m.Needs)
	x.owned, x.seeker.m, x.master.m = true, &m, &m
	x.chains, x.marches = slices.Clone(x.chains), slices.Clone(x.marches)
}

func (d *narrower) save() *simplex.State {
	s := &simplex.State{}
	d.lp.Save(s)
	return s
}

// enough is a cost that is not worth looking for.
func (d *narrower) enough() float64 { return d.least - 1e-6*math.Abs(d.least) }

// next goes back to the part with the lowest cost.
func (d *narrower) next() *narrowed {
	d.open = slices.DeleteFunc(d.open, func(f *narrowed) bool { return f.cost >= d.enough() })
	if len(d.open) == 0 {
		return nil
	}
	at := 0
	for k, f := range d.open {
		if f.cost < d.open[at].cost {
			at = k
		}
	}
	f := d.open[at]
	d.open = slices.Delete(d.open, at, at+1)
	d.lp.Load(f.state)
	return f
}

// explore makes schedules for a part, tries those in its mix, and returns the
// likelier half of it, nil where it ends.
func (d *narrower) explore(f *narrowed) *narrowed {
	d.enter(f)
	_, below := d.lp.Restore(mostTried, d.enough())
	if below {
		d.lp.Solve(mostTried)
		d.offers()
	}
	d.charge(d.work)
	if !below || d.lp.Cost() >= d.enough() {
		return nil
	}
	d.tryMix()
	likely, other, ok := d.halves(f)
	if !ok || d.lp.Cost() >= d.enough() {
		return nil
	}
	other.state = d.save()
	d.open = append(d.open, other)
	return likely
}

// offers makes schedules of the need for the mix at its prices.
func (d *narrower) offers() {
	const times = 2
	i := d.needs[d.k]
	for range times {
		d.reprice()
		s, value, _ := d.walk(i)
		s, _ = d.polish(i, s, value)
		if d.add(d.k, d.shareSeveral(i, s)) < 1e-6*d.lp.Cost() {
			return
		}
		d.lp.Solve(mostTried)
	}
}

// tryMix tries the packs in the mix.
func (d *narrower) tryMix() {
	list, below := d.inMix(d.k), d.enough()
	costs := make([]float64, len(list))
	d.each(len(list), func(t *seeker, at int) {
		costs[at] = d.try(t.work, below, func(lp *simplex.LP) { d.settleIn(lp, d.k, list[at]) })
	})
	for at, cost := range costs {
		if cost < d.least {
			d.best, d.least = list[at], cost
		}
	}
}

// enter gives the need the limits of a part and rules out what does not keep
// to them.
func (d *narrower) enter(f *narrowed) {
	i := d.needs[d.k]
	n := *d.whole
	n.Offers = slices.Clone(n.Offers)
	for ; f.offer >= 0; f = f.from {
		o := &n.Offers[f.offer]
		o.Min, o.Limit = max(o.Min, f.limits.least), min(o.Limit, f.limits.most)
	}
	m, slate := d.seeker.m, d.crew[0].slate
	m.Needs[i] = &n
	if c := d.chains[i]; c != nil && !c.mixed {
		d.chains[i] = newChain(m, &n, slate)
	}
	d.marches[i] = newMarch(m, &n, slate)
	d.rule()
}

// rule rules out the schedules that do not keep to the need's limits.
func (d *narrower) rule() {
	n := d.seeker.m.Needs[d.needs[d.k]]
	for _, c := range d.pool[d.k] {
		d.lp.Rule(c.column, !n.sells(c.schedule.Packs))
	}
}

// sells says whether packs keep to the limits of all offers.
func (n *Need) sells(packs []int) bool {
	for o, count := range packs {
		if count < n.Offers[o].Min || count > n.Offers[o].Limit {
			return false
		}
	}
	return true
}
