package search

import "math"

// turn lets a source serve from every position on.
func (w *march) turn(p *Prices, need int, v *visit, notes []step) {
	if v.source < 0 {
		w.goWithout(v, notes)
		return
	}
	s, fixed := &w.n.Sources[v.source], 0.0
	if s.Aboard < 0 && !v.stay {
		if p.closed[s.Stop] {
			v.note(notes)
			return
		}
		fixed = s.Line + p.Open[need][s.Stop]
	}
	w.sum(v)
	for k := v.low; k <= v.high; k++ {
		w.bare[k] = w.cost[k] - w.upto[k] + fixed
		w.steps[k] = step{from: int32(k)}
	}
	if s.Aboard >= 0 {
		w.add(v, 0, 1, 0, w.near(s.Held))
	}
	for at, o := range w.goods[v.source] {
		offer := &w.n.Offers[o]
		far := max(1, w.near(offer.Size))
		w.add(v, at, far, 0, offer.Min) // bought in any case
		w.add(v, at, far, offer.Price, offer.Limit)
	}
	for k := v.low + 1; k <= v.high; k++ {
		notes[k].from = -1
		if cost := w.bare[k] + w.upto[k]; cost < w.cost[k]-1e-9 && w.steps[k].from != int32(k) {
			w.cost[k], notes[k] = cost, w.steps[k]
		}
	}
}

// note notes that a turn changes nothing.
func (v *visit) note(notes []step) {
	for k := v.low + 1; k <= v.high; k++ {
		notes[k].from = -1
	}
}

// sum adds up what units of a source cost without packs.
func (w *march) sum(v *visit) {
	rates := w.rates(v.source)
	g, sum := 0, 0.0
	for k := v.low; k <= v.high; k++ {
		w.upto[k] = sum
		for g < len(w.ends)-1 && w.ends[g] <= k {
			g++
		}
		sum += rates[g] * w.unit
	}
}

// add adds packs of an offer, up to a limit.
func (w *march) add(v *visit, at, far int, price float64, limit int) {
	if limit == 0 {
		return
	}
	most := int16(min(limit, math.MaxInt16))
	for k := v.low; k < v.high; k++ {
		to := min(k+far, v.high)
		if cost := w.bare[k] + price; cost < w.bare[to] && w.steps[k].packs[at] < most {
			w.bare[to], w.steps[to] = cost, w.steps[k]
			w.steps[to].packs[at]++
		}
	}
}

// goWithout leaves use unmet.
func (w *march) goWithout(v *visit, notes []step) {
	v.note(notes)
	miss := w.n.Miss * w.unit
	for k := v.low; k < v.high; k++ {
		if cost := w.cost[k] + miss; cost < w.cost[k+1] {
			w.cost[k+1] = cost
			if notes[k+1].from = int32(k); k > v.low && notes[k].from >= 0 {
				notes[k+1].from = notes[k].from
			}
		}
	}
}

// trace sets the packs of the cheapest march, and where nothing is carried
// away.
func (w *march) trace(s *Schedule) {
	for o := range w.n.Offers {
		s.Packs[o] = 0
	}
	clear(s.Stay)
	carried := make([]bool, len(s.Stay))
	at := w.size - 1
	for k := len(w.visits) - 1; k >= 0; k-- {
		v := &w.visits[k]
		st := w.noted(k)[at]
		if at <= v.low || at > v.high || st.from < 0 {
			continue
		}
		at = int(st.from)
		if v.source < 0 {
			continue
		}
		source := &w.n.Sources[v.source]
		for j, o := range w.goods[v.source] {
			s.Packs[o] += int(st.packs[j])
		}
		s.Stay[source.Stop] = s.Stay[source.Stop] || v.stay
		carried[source.Stop] = carried[source.Stop] || !v.stay
	}
	for o := range w.n.Offers {
		s.Packs[o] = min(max(s.Packs[o], w.n.Offers[o].Min), w.n.Offers[o].Limit)
	}
	for stop, away := range carried {
		s.Stay[stop] = s.Stay[stop] && !away
	}
}
