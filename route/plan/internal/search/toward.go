package search

import (
	"cmp"
	"context"
	"math"
	"slices"
)

// Toward brings the plan to cost no more than most, and then as near to packs ordered
// of every need's offers as that leaves money for, need by need while all others stay.
// Where it costs more, needs are let go of what is ordered: those first that save most
// for what they go away, buying first at least what is ordered, then what they will.
// Where it costs less, those come first that come nearest for what they cost, buying
// exactly what is ordered or, where that is too dear, at least that.
func (h *Held) Toward(ctx context.Context, ordered [][]int, most float64) {
	all := make([]int, len(h.plan))
	for i := range all {
		all[i] = i
	}
	t := &toward{seeker: h.seeker(ctx, all...), plan: h.plan, ordered: ordered, most: most}
	for _, look := range []looker{(*toward).atLeast, (*toward).freely} {
		for t.over() && t.round(look, (*toward).saves) {
		}
	}
	for _, look := range []looker{(*toward).exactly, (*toward).atLeast, (*toward).exactly} {
		for !t.over() && t.round(look, (*toward).affords) {
		}
	}
}

// looker is a way to look for another schedule of a need.
type looker func(t *toward, need int) *Schedule

// toward draws a plan to what is ordered.
type toward struct {
	*seeker
	plan    []*Schedule
	ordered [][]int
	most    float64
}

// pull is another schedule of a need.
type pull struct {
	need     int
	schedule *Schedule
	costs    float64 // more than the one at hand, trips included
	nearer   float64 // to what is ordered, money in purchases
}

func (t *toward) total() float64 { return total(t.load, t.plan) }

// over says whether the plan costs more than it may, by more than rounding.
func (t *toward) over() bool { return t.total() > t.most*(1+1e-9) }

// round looks for what every need would come to and takes over what is wanted, each
// looked for again beside what was taken over before it. It says whether there was
// anything.
func (t *toward) round(look looker, wanted func(*toward, pull) bool) bool {
	var pulls []pull
	for need := range t.plan {
		if p := t.pull(need, look); wanted(t, p) {
			pulls = append(pulls, p)
		}
	}
	slices.SortStableFunc(pulls, func(a, b pull) int { return cmp.Compare(a.rate(), b.rate()) })
	any := false
	for _, p := range pulls {
		if any {
			p = t.pull(p.need, look)
		}
		if !wanted(t, p) {
			continue
		}
		n := t.m.Needs[p.need]
		t.load.add(n, t.plan[p.need], -1)
		t.load.add(n, p.schedule, 1)
		t.plan[p.need], any = p.schedule, true
	}
	return any
}

// rate is what money in purchases nearer costs, or, less than nothing, what money in
// purchases farther saves; what saves and is nearer comes before both.
func (p pull) rate() float64 {
	switch {
	case p.costs <= 0 && p.nearer >= 0:
		return math.Inf(-1)
	case p.nearer >= 0:
		return p.costs / p.nearer
	}
	return -p.costs / p.nearer
}

// leastPulled is money not worth another schedule.
const leastPulled = 0.01

func (t *toward) affords(p pull) bool {
	return p.nearer >= leastPulled && t.total()+p.costs <= t.most
}

func (t *toward) saves(p pull) bool { return p.costs <= -leastPulled && t.over() }

// pull is what a need comes to when it is looked at in some way.
func (t *toward) pull(need int, look looker) pull {
	n, old := t.m.Needs[need], t.plan[need]
	if t.work.cancelled() {
		return pull{need: need, schedule: old}
	}
	t.load.add(n, old, -1)
	defer t.load.add(n, old, 1)
	t.work.Left = aloneWork
	s := look(t, need)
	return pull{need, s, s.Own() + t.load.more(s) - old.Own() - t.load.more(old), t.apart(need, old) - t.apart(need, s)}
}

// freely is the best there is.
func (t *toward) freely(need int) *Schedule {
	old := t.plan[need]
	s, _ := t.best(need, old, old.Own()+t.load.more(old))
	return s
}

// exactly buys what is ordered and nothing else.
func (t *toward) exactly(need int) *Schedule {
	return t.as(need, func(o *Offer, ordered int) { o.Min, o.Limit = ordered, ordered }, t.touchUp)
}

// aside is by how much what is not ordered counts as dearer where at least what is
// ordered is bought.
const aside = 0.05

func (t *toward) atLeast(need int) *Schedule {
	return t.as(need, func(o *Offer, ordered int) {
		if o.Min = max(o.Min, ordered); ordered == 0 {
			o.Price *= 1 + aside
		}
	}, func(need int, s *Schedule, v float64) (*Schedule, float64) {
		s, v = t.touchUp(need, s, v)
		if again, w := t.fit(need); w < v {
			s, v = again, w
		}
		return t.topUp(need, s, v)
	})
}

// as looks for a schedule of a need whose offers are changed, and counts it by what
// they are.
func (t *toward) as(need int, change func(o *Offer, ordered int), look func(int, *Schedule, float64) (*Schedule, float64)) *Schedule {
	n := t.m.Needs[need]
	was, s := slices.Clone(n.Offers), t.plan[need].clone()
	for o := range n.Offers {
		change(&n.Offers[o], t.ordered[need][o])
		s.Packs[o] = min(max(s.Packs[o], n.Offers[o].Min), n.Offers[o].Limit)
	}
	s, _ = look(need, s, t.value(need, s))
	copy(n.Offers, was)
	t.value(need, s)
	return s
}

// apart is the money in what a schedule buys otherwise than ordered, by the stop and
// item, at the least price of a unit there.
func (t *toward) apart(need int, s *Schedule) float64 {
	n, sum := t.m.Needs[need], 0.0
	for i := range n.Sources {
		amount := 0.0
		for _, o := range n.Sources[i].Offers {
			amount += float64(s.Packs[o]-t.ordered[need][o]) * n.Offers[o].Size
		}
		if amount != 0 {
			sum += math.Abs(amount) * n.UnitPrice(i)
		}
	}
	return sum
}
