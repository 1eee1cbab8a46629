package search

import (
	"cmp"
	"slices"
)

// mixMending is the mending of a need's schedule beside those of others.
type mixMending struct {
	*mending
	k    int     // need of the mix
	from float64 // what its schedule cost
	rise float64 // what a unit of work gained of late
}

const (
	mixMendSlice = 200 // work on one need before others are looked at
	mixMendTimes = 5   // slices a need, on average
)

// mend mends, of the needs of several items, the schedules in the mix that cost least
// at the prices, a little at a time, and most those that gained most of late.
func (x *mixer) mend() {
	list := x.mendings()
	for until := x.work.Left - mixMendTimes*mixMendSlice*len(list); x.work.Left > until && !x.work.over(); {
		slices.SortStableFunc(list, func(a, b *mixMending) int { return cmp.Compare(b.rate(), a.rate()) })
		few := list[:min(len(list), raisedAside)]
		if len(few) == 0 || few[0].ended() {
			break
		}
		x.each(len(few), func(t *seeker, at int) { few[at].slice(t) })
	}
	x.mixMended(list)
}

// mendings begins to mend what may gain by it.
func (x *mixer) mendings() []*mixMending {
	all := make([]*mixMending, len(x.needs))
	x.each(len(x.needs), func(t *seeker, k int) {
		i := x.needs[k]
		if !t.m.Needs[i].several() {
			return
		}
		if s, value := x.least(x.seeker.prices, k); s != nil {
			all[k] = &mixMending{mending: newMending(t.m, x.seeker.prices, t.load, i, s, x.worth[i]), k: k, from: value}
			t.work.Left -= all[k].effort
		}
	})
	return slices.DeleteFunc(all, func(m *mixMending) bool { return m == nil })
}

// slice goes on for a while.
func (m *mixMending) slice(t *seeker) {
	effort, value := m.effort, m.value
	m.run(mixMendSlice)
	t.work.Left -= m.effort - effort
	m.rise = (m.rise + (value-m.value)/float64(m.effort-effort+1)) / 2
}

// rate is what a unit of work is hoped to gain: nothing of what has ended.
func (m *mixMending) rate() float64 {
	if m.ended() {
		return -1
	}
	return m.rise + hope*(m.value-m.bound)/float64(m.effort)
}

// mixMended mixes in what has become cheaper and fits.
func (x *mixer) mixMended(list []*mixMending) {
	slices.SortFunc(list, func(a, b *mixMending) int { return cmp.Compare(a.k, b.k) })
	mixed := false
	for _, m := range list {
		if m.value >= m.from*(1-leastMended) {
			continue
		}
		if s := m.schedule(x.seeker); x.seeker.load.fits(m.n, s) {
			x.add(m.k, s)
			mixed = true
		}
	}
	if mixed {
		x.solve(4000)
	}
}
