package search

import (
	"cmp"
	"math"
	"slices"
)

// topUp buys more for one need, a pack or all that lacks at once, until no
// such purchase lowers the cost.
func (k *seeker) topUp(need int, s *Schedule, value float64) (*Schedule, float64) {
	n := k.m.Needs[need]
	t := &attempt{seeker: k, need: need, best: s, try: newSchedule(k.m, n), value: value}
	t.regrets()
	offers := make([]int, 0, len(n.Offers))
	for o := range n.Offers {
		if n.Offers[o].Limit > 0 && !math.IsInf(t.regret[n.Offers[o].Source], 1) {
			offers = append(offers, o)
		}
	}
	slices.SortStableFunc(offers, func(a, b int) int {
		return cmp.Compare(t.regret[n.Offers[a].Source], t.regret[n.Offers[b].Source])
	})
	for again := true; again; {
		again = false
		for _, o := range offers {
			again = t.buyMore(o) || again
		}
	}
	return t.best, t.value
}

// buyMore buys more of an offer as long as it pays.
func (t *attempt) buyMore(o int) bool {
	better := false
	for again := true; again; {
		again = false
		for _, packs := range t.lots(o) {
			for mode := OldFirst; mode < modes && t.affords(o, packs) && t.step(o, packs); mode++ {
				t.try.Mode = mode
				t.try.Stay[t.m.Needs[t.need].Sources[t.m.Needs[t.need].Offers[o].Source].Stop] = false
				again = t.consider() || again
			}
		}
		better = better || again
	}
	return better
}

// lots are the counts of packs worth trying: for all use that is unmet, for
// the largest reserve that lacks, and one.
func (t *attempt) lots(o int) [3]int {
	n := t.m.Needs[t.need]
	count := func(lacks float64) int {
		return min(int(math.Ceil((lacks-Slack)/n.Offers[o].Size)), n.Offers[o].Limit-t.best.Packs[o])
	}
	lots := [3]int{0, 0, 1}
	if n.Miss > 0 {
		lots[0] = count(t.best.Missing / n.Miss)
	}
	if t.best.Reserve > 0 {
		lots[1] = count(slices.Max(n.lacking(t.best.Flows)))
	}
	if lots[1] == lots[0] || lots[1] == 1 {
		lots[1] = 0
	}
	if lots[0] == 1 {
		lots[0] = 0
	}
	return lots
}

// affords says whether so many packs more could pay at best.
func (t *attempt) affords(o, packs int) bool {
	offer := &t.m.Needs[t.need].Offers[o]
	gain := t.best.Missing + t.best.Reserve
	return packs > 0 && gain > 1e-7*(1+t.value) &&
		float64(packs)*offer.Price < gain+t.best.Taste
}

// topUp makes sure that nothing lacks in the plan at hand which buying more
// would save, and says whether it bought anything.
func (s *season) topUp() bool {
	better := false
	for changed := true; changed && !s.work.cancelled(); better = better || changed {
		var lacking []int
		for i, p := range s.plan {
			if p.Missing+p.Reserve > 1e-7*(1+p.Own()) {
				lacking = append(lacking, i)
			}
		}
		changed = s.pass(lacking, s.work.cancelled, func(k *seeker, i int) *Schedule { return k.more(i, s.plan[i]) })
	}
	s.tell()
	return better
}

// more is a schedule that buys more, nil when that does not pay.
func (k *seeker) more(i int, old *Schedule) *Schedule {
	if k.work.cancelled() {
		return nil
	}
	before := old.Own() + k.load.more(old)
	// Sharing the same packs out anew may cost more than the schedule does.
	schedule, value := k.topUp(i, old.clone(), before)
	if value < before-1e-7*(1+before) {
		return schedule
	}
	return nil
}
