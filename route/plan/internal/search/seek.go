package search

import "math"

// seeker finds a good schedule for one need while all others stay.
type seeker struct {
	*allocator
	marginal bool // trips at what they add, else at Prices.Open
	work     *Work
	depth    int // rounds of polishing
}

// Work is a budget counted in schedules allocated.
type Work struct{ Left int }

// value allocates and returns the whole cost, prices and trips included.
func (k *seeker) value(need int, s *Schedule) float64 {
	k.work.Left--
	cost := k.allocate(need, s)
	if k.marginal {
		return cost + k.load.more(s)
	}
	for stop, away := range s.Away {
		if away {
			cost += k.prices.Open[need][stop]
		}
	}
	return cost
}

// attempt is a walk from schedule to better schedule.
type attempt struct {
	*seeker
	need      int
	best, try *Schedule
	value     float64
	regret    []float64 // per source
}

// consider values what is in try and keeps it when it is better.
func (t *attempt) consider() bool {
	v := t.seeker.value(t.need, t.try)
	if v < t.value-1e-7*(1+v) {
		t.value = v
		t.best, t.try = t.try, t.best
		return true
	}
	return false
}

func (t *attempt) reset() {
	copy(t.try.Packs, t.best.Packs)
	t.try.Mode = t.best.Mode
}

// fresh builds a schedule from nothing: the cheapest sources, then without
// those that do not earn their line and trip.
func (k *seeker) fresh(need int) (*Schedule, float64) {
	n := k.m.Needs[need]
	t := &attempt{seeker: k, need: need, best: newSchedule(k.m, n), try: newSchedule(k.m, n)}
	t.value = k.value(need, t.best)
	f := newFiller(k.allocator, need)
	open := make([]bool, len(n.Sources))
	for i := range open {
		open[i] = true
	}
	t.propose(f, open)
	for again := true; again; {
		again = false
		for i := range open {
			if !open[i] || f.unused(t.best, i) {
				continue
			}
			open[i] = false
			if t.propose(f, open) {
				again = true
			} else {
				open[i] = true
			}
		}
	}
	return t.best, t.value
}

func (f *filler) unused(s *Schedule, source int) bool {
	for _, o := range f.a.m.Needs[f.need].Sources[source].Offers {
		if s.Packs[o] > 0 {
			return false
		}
	}
	return true
}

func (t *attempt) propose(f *filler, open []bool) bool {
	better := false
	for _, carry := range [2]float64{1, 0} {
		t.try.Mode = t.best.Mode
		f.propose(open, carry, t.try)
		if t.consider() {
			better = true
		}
	}
	return better
}

// polish walks to a schedule that no small change makes cheaper.
func (k *seeker) polish(need int, s *Schedule, value float64) (*Schedule, float64) {
	t := &attempt{seeker: k, need: need, best: s, try: newSchedule(k.m, k.m.Needs[need]), value: value}
	t.regrets(newFiller(k.allocator, need))
	for again := 0; again < k.depth; again++ {
		better := t.modes()
		better = t.packsUpAndDown() || better
		better = t.shift() || better
		if !better || k.work.Left <= 0 {
			break
		}
	}
	return t.best, t.value
}

// regrets is, per source, how much dearer a unit of it is at least than the
// cheapest where it could be eaten.
func (t *attempt) regrets(f *filler) {
	n := t.m.Needs[t.need]
	t.regret = make([]float64, len(n.Sources))
	for i := range t.regret {
		t.regret[i] = math.Inf(1)
	}
	for g := range n.Segments {
		least := n.Miss
		for _, cost := range f.cost[g] {
			least = min(least, cost)
		}
		for k, sv := range t.order[t.need][g] {
			t.regret[sv.source] = min(t.regret[sv.source], f.cost[g][k]-least)
		}
	}
}

// hopeless says that buying an amount more of an offer cannot pay even if it
// saved a pack, a line and a trip.
func (t *attempt) hopeless(offer int, amount, saved float64) bool {
	o := &t.m.Needs[t.need].Offers[offer]
	return amount*t.regret[o.Source] > saved
}

// saved is what giving up a pack of an offer may save beside its goods.
func (t *attempt) saved(offer int) float64 {
	n := t.m.Needs[t.need]
	s := &n.Sources[n.Offers[offer].Source]
	trip := t.prices.Open[t.need][s.Stop]
	if t.marginal {
		trip = t.m.TripCost[s.Stop]
	}
	return s.Line + trip + n.Offers[offer].Price
}

// packsUpAndDown buys a pack more or less.
func (t *attempt) packsUpAndDown() bool {
	better := false
	n := t.m.Needs[t.need]
	for o := range n.Offers {
		if t.best.Packs[o] > n.Offers[o].Min {
			for t.step(o, -1) && t.consider() {
				better = true
			}
		}
		if t.best.Missing+t.best.Reserve > Slack && !t.hopeless(o, n.Offers[o].Size, t.best.Missing+t.best.Reserve) {
			for t.step(o, 1) && t.consider() {
				better = true
			}
		}
	}
	return better
}

// step puts best with one offer changed into try.
func (t *attempt) step(offer, step int) bool {
	o := &t.m.Needs[t.need].Offers[offer]
	packs := t.best.Packs[offer] + step
	if packs < o.Min || packs > o.Limit {
		return false
	}
	t.reset()
	t.try.Packs[offer] = packs
	return true
}

// modes tries other orders of sharing out.
func (t *attempt) modes() bool {
	better := false
	for mode := range modes {
		if mode == t.best.Mode {
			continue
		}
		t.reset()
		t.try.Mode = mode
		better = t.consider() || better
	}
	return better
}

// shift buys elsewhere, or in another size, what a pack of one offer holds,
// or what all of them hold.
func (t *attempt) shift() bool {
	n := t.m.Needs[t.need]
	better := false
	for from := range n.Offers {
		for to := range n.Offers {
			if from == to || t.best.Packs[from] <= n.Offers[from].Min {
				continue
			}
			if t.move(from, to, 1) || t.move(from, to, t.best.Packs[from]-n.Offers[from].Min) {
				better = true
			}
		}
	}
	return better
}

func (t *attempt) move(from, to, packs int) bool {
	n := t.m.Needs[t.need]
	if packs < 1 || packs == 1 && n.Offers[from].Size < n.Offers[to].Size/2 {
		return false
	}
	amount := float64(packs) * n.Offers[from].Size
	if t.hopeless(to, amount, t.saved(from)) {
		return false
	}
	low := int(amount / n.Offers[to].Size)
	for _, more := range [2]int{low, low + 1} {
		if more < 1 || t.best.Packs[to]+more > n.Offers[to].Limit {
			continue
		}
		t.reset()
		t.try.Packs[from] -= packs
		t.try.Packs[to] += more
		if t.consider() {
			return true
		}
	}
	return false
}
