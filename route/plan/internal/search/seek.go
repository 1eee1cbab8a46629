package search

import (
	"context"
	"math"
)

// seeker finds a good schedule for one need while all others stay.
type seeker struct {
	*allocator
	marginal bool // trips at what they add, else at Prices.Open
	work     *Work
	depth    int // rounds of polishing
}

// Work is a budget counted in schedules allocated. It is also spent when the
// context ends.
type Work struct {
	Left int
	ctx  context.Context
}

func (w *Work) over() bool { return w.Left <= 0 || w.cancelled() }

func (w *Work) cancelled() bool { return w.ctx.Err() != nil }

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

	least       []float64 // per segment: the cheapest a unit could cost
	regret      []float64 // per source: how much dearer a unit is at least
	dear, waste []float64 // per source: how much dearer what is eaten is; not eaten
	bought      []int     // packs per source
	supplied    []float64 // per source
	spare       float64   // amount wasted
}

// consider values what is in try and keeps it when it is better.
func (t *attempt) consider() bool {
	v := t.seeker.value(t.need, t.try)
	if v < t.value-1e-7*(1+v) {
		t.value = v
		t.best, t.try = t.try, t.best
		if t.least != nil {
			t.look()
		}
		return true
	}
	return false
}

func (t *attempt) reset() {
	copy(t.try.Packs, t.best.Packs)
	t.try.Mode = t.best.Mode
	copy(t.try.Stay, t.best.Stay)
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
		copy(t.try.Stay, t.best.Stay)
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
	t.regrets()
	for again := 0; again < k.depth; again++ {
		better := t.modes()
		better = t.packsUpAndDown() || better
		better = t.stays() || better
		better = t.shift() || better
		if !better || k.work.over() {
			break
		}
	}
	return t.best, t.value
}

// regrets reckons, against the cheapest that could be eaten in every segment,
// how much dearer a unit of each source is at least, and how much dearer all
// that is eaten of it now is. They tell which changes can pay.
func (t *attempt) regrets() {
	n := t.m.Needs[t.need]
	f := newFiller(t.allocator, t.need)
	t.regret = make([]float64, len(n.Sources))
	t.least = make([]float64, len(n.Segments))
	for i := range t.regret {
		t.regret[i] = math.Inf(1)
	}
	for g := range n.Segments {
		t.least[g] = n.Miss
		for _, cost := range f.cost[g] {
			t.least[g] = min(t.least[g], cost)
		}
		for k, sv := range t.order[t.need][g] {
			t.regret[sv.source] = min(t.regret[sv.source], f.cost[g][k]-t.least[g])
		}
	}
	t.dear, t.waste = make([]float64, len(n.Sources)), make([]float64, len(n.Sources))
	t.supplied, t.bought = make([]float64, len(n.Sources)), make([]int, len(n.Sources))
	t.look()
}

// look takes stock of best.
func (t *attempt) look() {
	n := t.m.Needs[t.need]
	for i := range n.Sources {
		t.dear[i], t.bought[i] = 0, 0
		t.supplied[i] = n.supply(i, t.best.Packs)
		t.waste[i] = t.supplied[i]
		for _, o := range n.Sources[i].Offers {
			t.bought[i] += t.best.Packs[o]
		}
	}
	for _, f := range t.best.Flows {
		if f.Segment < 0 {
			continue
		}
		s := &n.Sources[f.Source]
		cost := s.Taste
		if s.Aboard < 0 {
			cost += n.unitPrice(f.Source)
		}
		if f.Way >= 0 {
			cost += t.prices.hold(s, s.Ways[f.Way], f.To)
		}
		t.dear[f.Source] += f.Amount * (cost - t.least[f.Segment])
		t.waste[f.Source] -= f.Amount
	}
	t.spare = 0
	for i, waste := range t.waste {
		if n.Sources[i].Aboard < 0 {
			t.spare += waste
		}
	}
}

// fixed is what giving up an amount of a source may save in line and trips.
func (t *attempt) fixed(source int, amount float64, all bool) float64 {
	s := &t.m.Needs[t.need].Sources[source]
	saved := 0.0
	if all {
		saved = s.Line
	}
	if !t.marginal {
		if all {
			saved += t.prices.Open[t.need][s.Stop]
		}
		return saved
	}
	kg := t.load.kg[s.Stop] + t.best.Kg[s.Stop]
	left := kg - amount*s.Kg
	before := t.m.trips(s.Stop, kg, true)
	after := t.m.trips(s.Stop, left, t.load.away[s.Stop] > 0 || left > Slack)
	return saved + max(0, before-after)*t.m.TripCost[s.Stop]
}

// pays says whether so many packs of one offer may pay for some of another,
// or on top (from < 0).
func (t *attempt) pays(from, packs, to, more int) bool {
	n := t.m.Needs[t.need]
	o := &n.Offers[to]
	amount := float64(more) * o.Size
	gain := t.best.Missing + t.best.Reserve
	if from < 0 {
		return amount*t.regret[o.Source] < gain
	}
	i := n.Offers[from].Source
	less := float64(packs) * n.Offers[from].Size
	gain += 1.5*t.dear[i]*min(1, less/t.supplied[i]) + float64(packs)*n.premium(from) - float64(more)*n.premium(to)
	gain += t.fixed(i, less, t.bought[i] == packs) + max(0, less-amount)*n.unitPrice(i)
	return min(amount, less)*t.regret[o.Source] < gain
}

// premium is what a pack costs above the lowest price of its contents.
func (n *Need) premium(offer int) float64 {
	o := &n.Offers[offer]
	return o.Price - o.Size*n.unitPrice(o.Source)
}

// packsUpAndDown buys a pack more or less.
func (t *attempt) packsUpAndDown() bool {
	better := false
	n := t.m.Needs[t.need]
	for o := range n.Offers {
		for t.spare > 0.3*n.Offers[o].Size && t.step(o, -1) && t.consider() {
			better = true
		}
		for t.best.Missing+t.best.Reserve > Slack && t.pays(-1, 0, o, 1) && t.step(o, 1) && t.consider() {
			better = true
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

// stays tries not to carry away what is bought at a stop, or again to.
func (t *attempt) stays() bool {
	better := false
	for stop := range t.best.Stay {
		if t.best.Away[stop] || t.best.Stay[stop] {
			t.reset()
			t.try.Stay[stop] = !t.best.Stay[stop]
			better = t.consider() || better
		}
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
	low := int(amount / n.Offers[to].Size)
	for _, more := range [2]int{low, low + 1} {
		if more < 1 || t.best.Packs[to]+more > n.Offers[to].Limit || !t.pays(from, packs, to, more) {
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
