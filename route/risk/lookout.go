package risk

import "slices"

// Kinds of lots in a projection.
const (
	aboard = iota
	here
	later
)

// lookout is the rest of the season in thought, for one need at a departure:
// what is aboard, what the plan buys here as far as it is on the shelf, and
// what it buys later.
type lookout struct {
	lots     []lot
	lack     []float64 // by period: what nothing serves
	late     []float64 // by period: what only later purchases serve
	deferred []float64 // by planned purchase here: what serves periods better left to the ports ahead
	believed float64   // factor on the brief's use
	surplus  float64   // need-units never eaten beyond the reserve of the last leg
	spare    float64   // need-units over when the next purchase of the plan comes, beyond the reserve then
	reserve  []float64 // by leg: what lacks on arrival
}

func newLookout(stops int) lookout {
	return lookout{lack: make([]float64, 2*stops), late: make([]float64, 2*stops), reserve: make([]float64, stops)}
}

// ahead eats through the rest of the season.
func (k *lookout) ahead(w *walker, n, s int) {
	nd := &w.needs[n]
	k.believed = w.learnt[n].factor(nd.season, nd.day)
	k.gather(w, n, s)
	for q := 2*s + 1; q < 2*len(w.stops)-1; q++ {
		k.lack[q], k.late[q] = 0, 0
		k.period(w, nd, n, s, q)
		if leg := q / 2; q%2 == 1 && leg < max(nd.seller[s], s+1) {
			k.reserve[leg] = max(nd.due[leg]-k.counts(w, nd, leg), 0)
		}
		if q == 2*nd.next[s]-1 {
			k.spare = -nd.due[q/2]
			for i := range k.lots {
				if l := &k.lots[i]; l.kind != later && l.lost > q/2 && l.expires > w.arrive[q/2+1] {
					k.spare += l.left * nd.items[l.item].yield
				}
			}
		}
	}
	k.surplus = -nd.due[len(nd.due)-1]
	for i := range k.lots {
		l := &k.lots[i]
		if l.lost >= len(w.stops) && l.expires > w.depart[len(w.stops)-1] {
			k.surplus += l.left * nd.items[l.item].yield
		}
	}
}

func (k *lookout) gather(w *walker, n, s int) {
	nd := &w.needs[n]
	k.lots = k.lots[:0]
	for _, l := range w.lots[n] {
		l.kind = aboard
		k.lots = append(k.lots, l)
	}
	k.deferred = k.deferred[:0]
	for i, x := range nd.bought[s] {
		k.deferred = append(k.deferred, 0)
		if w.counter.cost(n, x.item) < nd.miss {
			k.lots = append(k.lots, lot{item: x.item, space: x.space, left: x.amount, kind: here, index: i, from: s,
				lost: nd.items[x.item].lost[s], expires: w.depart[s] + nd.items[x.item].days(x.space, s)}.toUse(w.stops))
		}
	}
	k.lots = append(k.lots, nd.later[s]...)
	slices.SortStableFunc(k.lots, byUse)
}

func (k *lookout) period(w *walker, nd *need, n, s, q int) {
	leg := q / 2
	start, end, rate := w.arrive[leg], w.depart[leg], nd.in[leg]*(1-nd.ashore[leg])
	if q%2 == 1 {
		start, end, rate = w.depart[leg], w.arrive[leg+1], nd.sea[leg]
	}
	if rate *= k.believed; rate <= 0 || end <= start {
		return
	}
	at := start
	for i := range k.lots {
		l := &k.lots[i]
		until := min(l.expires, end)
		if until <= at || l.left <= 0 || q >= 2*l.lost || q <= 2*l.from {
			continue
		}
		yield := nd.items[l.item].yield
		amount := min(l.left, rate*(until-at)/yield)
		l.left -= amount
		at += amount * yield / rate
		switch l.kind {
		case here:
			// the plan had its reasons to buy here at the expected price
			reason := max(nd.wait[s][q], nd.items[l.item].expected(s))
			if w.counter.cost(n, l.item) > reason*(1+worthwhile) {
				k.deferred[l.index] += amount
			}
		case later:
			k.late[q] += amount * yield
		}
	}
	if end-at > 1e-9*end {
		k.lack[q] = rate * (end - at)
	}
}

// worthwhile is by how much a price must differ before the plan is left for it.
const worthwhile = 0.02

// counts is what of the lots counts as reserve on the arrival after a leg.
func (k *lookout) counts(w *walker, nd *need, leg int) float64 {
	until, sum := w.arrive[leg+1]+w.stops[leg].ReserveDays, 0.0
	for i := range k.lots {
		if l := &k.lots[i]; l.from <= leg && l.lost > leg && l.expires >= until {
			sum += l.left * nd.items[l.item].yield
		}
	}
	return sum
}
