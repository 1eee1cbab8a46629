package search

import (
	"cmp"
	"slices"
)

// mending walks to better packs of a need's schedule. The linear program that
// shares them out says what use and reserves are worth; at those worths each
// source alone would buy a pack more or less, or nothing. What promises most is
// tried by sharing out anew.
type mending struct {
	k       *seeker
	need    int
	n       *Need
	h       *hull
	best    *Schedule
	value   float64
	carried []bool   // per source, of best
	list    []change // what sources would change in best
	shared  int      // programs solved
}

// change is what one source would rather do.
type change struct {
	source  int
	packs   []int // per offer of the source
	carried bool
	promise float64
}

const (
	mostMended  = 200  // programs solved for one schedule
	mostChanges = 8    // tried in vain before a schedule is left as it is
	leastMended = 1e-5 // of a cost: what a change must promise
	worthMend   = 1e-3 // of a cost: what going without must make up of it
)

// mend mends, of each need of several items, the schedule in the mix that costs
// least at the prices, where it goes without something: a march rounds packs for
// every stretch of use, and where fresh items that keep for days take turns it
// leaves gaps that a pack would fill.
func (x *mixer) mend() {
	found := make([]*Schedule, len(x.needs))
	x.each(len(x.needs), func(t *seeker, k int) {
		i := x.needs[k]
		if !t.m.Needs[i].several() {
			return
		}
		if s, value := x.least(x.seeker.prices, k); s != nil && s.Missing > worthMend*value {
			if u := t.mend(i, s); u != s {
				found[k] = u
			}
		}
	})
	mended := false
	for k, s := range found {
		if s != nil {
			x.add(k, s)
			mended = true
		}
	}
	if mended {
		x.solve(4000)
	}
}

// mend is a schedule of packs near those of another that no source alone would
// rather change.
func (k *seeker) mend(need int, s *Schedule) *Schedule {
	n := k.m.Needs[need]
	t := &mending{k: k, need: need, n: n, h: newHull(k.m, k.prices, need)}
	t.keep(s, k.prices.cost(n, need, s), s.carried(n))
	f, _ := t.share(s.Packs, t.carried)
	t.look(f)
	for again := true; again && t.shared < mostMended && !k.work.over(); {
		again = slices.ContainsFunc(t.list[:min(len(t.list), mostChanges)], t.try)
	}
	return t.best
}

func (t *mending) keep(s *Schedule, value float64, carried []bool) {
	t.best, t.value, t.carried = s, value, carried
}

// share shares packs out at the prices.
func (t *mending) share(packs []int, carried []bool) (*sharing, *Schedule) {
	t.shared++
	f := t.k.sharing(t.n, packs, carried)
	f.solve()
	s := newSchedule(t.k.m, t.n)
	copy(s.Packs, packs)
	f.read(s)
	t.k.recount(t.n, s)
	return f, s
}

// try makes a change and keeps it if it costs less.
func (t *mending) try(c change) bool {
	if c.promise < leastMended*t.value {
		return false
	}
	packs, carried := slices.Clone(t.best.Packs), slices.Clone(t.carried)
	for j, o := range t.n.Sources[c.source].Offers {
		packs[o] = c.packs[j]
	}
	carried[c.source] = c.carried
	f, s := t.share(packs, carried)
	value := t.k.prices.cost(t.n, t.need, s)
	if value > t.value-worth*(1+t.value) {
		return false
	}
	t.keep(s, value, carried)
	t.look(f)
	return true
}

// look lists what sources would change, what promises most first.
func (t *mending) look(f *sharing) {
	f.worths(t.h)
	t.list = t.list[:0]
	for i := range t.h.sources {
		o := &t.h.sources[i]
		if o.source.Aboard >= 0 {
			continue
		}
		t.h.market(o)
		now := t.earns(o, t.packs(o), t.carried[i])
		for _, packs := range t.steps(o) {
			for _, carried := range [2]bool{false, true} {
				if promise := t.earns(o, packs, carried) - now; promise > 0 {
					t.list = append(t.list, change{i, packs, carried, promise})
				}
			}
		}
	}
	slices.SortStableFunc(t.list, func(a, b change) int { return cmp.Compare(b.promise, a.promise) })
}

// packs are those bought of a source, per offer of it.
func (t *mending) packs(o *outlet) (packs []int) {
	for _, at := range o.source.Offers {
		packs = append(packs, t.best.Packs[at])
	}
	return packs
}

// steps are the packs a source might buy instead: as few as it may, the same,
// or one more or less of an offer.
func (t *mending) steps(o *outlet) (list [][]int) {
	now, few := t.packs(o), []int(nil)
	for _, at := range o.source.Offers {
		few = append(few, t.n.Offers[at].Min)
	}
	if !slices.Equal(now, few) {
		list = append(list, few, now)
	}
	for j, at := range o.source.Offers {
		offer := &t.n.Offers[at]
		for _, step := range [2]int{-1, 1} {
			if x := now[j] + step; x >= offer.Min && x <= offer.Limit {
				packs := slices.Clone(now)
				packs[j] = x
				list = append(list, packs)
			}
		}
	}
	return list
}

// earns is what a source earns with packs at the worths.
func (t *mending) earns(o *outlet, packs []int, carried bool) float64 {
	supply, spent := 0.0, 0.0
	for j, at := range o.source.Offers {
		supply += float64(packs[j]) * t.n.Offers[at].Size
		spent += float64(packs[j]) * t.n.Offers[at].Price
	}
	if carried {
		spent += o.fixed
	}
	t.h.add(carried)
	return t.h.earns(supply) - spent
}

// carried says of which sources something is carried away.
func (s *Schedule) carried(n *Need) []bool {
	carried := make([]bool, len(n.Sources))
	for _, flow := range s.Flows {
		carried[flow.Source] = carried[flow.Source] || flow.Way >= 0
	}
	return carried
}
