package risk

import (
	"slices"
)

// speck is an amount not worth handling, in item-units or need-units.
const speck = 1e-6

// shortFrom is the share of a period's use whose lack counts as running short.
const shortFrom = 0.01

// outcome is one season as it turned out.
type outcome struct {
	goods, trips, lines, taste, missing, reserve float64
	byNeed                                       []float64 // missing cost
	ran                                          []bool    // by need: ran short in some period
}

func (o *outcome) spent() float64 { return o.goods + o.trips }

func (o *outcome) total() float64 {
	return o.goods + o.trips + o.lines + o.taste + o.missing + o.reserve
}

// walker is a season half walked. It is used again for the next one.
type walker struct {
	*field
	*dice
	extra  []extra
	lots   [][]lot   // by need, what expires first in front
	season []float64 // by need: factor on its use
	learnt []tally   // by need: what counts have taught of that
	short  [][]int   // by need and period: walks in which it ran short
	bare   [][]int   // of these, those in which no shelf passed had it
	out    outcome

	arrive, depart []float64   // from the stop on, as expected; before it, as it was
	carried        [][]float64 // by stop: room taken ahead beyond the plan
	counter        counter
	look           lookout
}

func newWalker(f *field, seed uint64, x []extra) *walker {
	w := &walker{field: f, dice: newDice(seed), extra: x, lots: make([][]lot, len(f.needs)),
		season: make([]float64, len(f.needs)), learnt: make([]tally, len(f.needs)), arrive: make([]float64, len(f.stops)), depart: make([]float64, len(f.stops))}
	for range f.needs {
		w.short = append(w.short, make([]int, 2*len(f.stops)-1))
		w.bare = append(w.bare, make([]int, 2*len(f.stops)-1))
	}
	for range f.stops {
		w.carried = append(w.carried, make([]float64, len(f.room)))
	}
	w.counter = newCounter(f)
	w.look = newLookout(len(f.stops))
	return w
}

// begin stands at the start of season number i.
func (w *walker) begin(i int) {
	w.dice.walk = uint64(i)
	w.out = outcome{byNeed: make([]float64, len(w.needs)), ran: make([]bool, len(w.needs))}
	for s := range w.carried {
		clear(w.carried[s])
	}
	for n := range w.needs {
		w.lots[n] = append(w.lots[n][:0], w.needs[n].aboard...)
		w.season[n] = w.dice.season(n, w.needs[n].season)
		w.learnt[n] = tally{}
	}
}

// walk goes through season number i.
func (w *walker) walk(i int) outcome {
	w.begin(i)
	now := 0.0
	for s := range w.stops {
		w.expect(s, now)
		w.come(s)
		w.counter.open(w, s)
		w.stay(s)
		if s < len(w.stops)-1 {
			w.clear(s)
			w.counter.stock(w)
		}
		w.counter.pay(w)
		if s < len(w.stops)-1 {
			now = w.leg(s)
		}
	}
	return w.out
}

// shortest is the least time a late boat stays where a longer stay was planned.
const shortest = 1.0

// expect lays out the days ahead of a stop reached now: legs of their median
// length, dates of departure kept where the boat is not late.
func (w *walker) expect(s int, now float64) {
	for j := s; j < len(w.stops); j++ {
		w.arrive[j] = now
		w.depart[j] = max(w.stops[j].Depart, now+min(w.stops[j].Depart-w.stops[j].Arrive, shortest))
		if j+1 < len(w.stops) {
			now = w.depart[j] + w.stops[j+1].Arrive - w.stops[j].Depart
		}
	}
}

// come takes away what is surrendered or spoilt.
func (w *walker) come(s int) {
	for n := range w.lots {
		w.lots[n] = slices.DeleteFunc(w.lots[n], func(l lot) bool {
			return l.lost == s || l.left <= speck || l.spoils <= w.arrive[s]
		})
	}
}

// stay eats through a stay: what the plan buys day by day, then what is
// aboard, then what is still to be had.
func (w *walker) stay(s int) {
	start, end := w.arrive[s], w.depart[s]
	for n := range w.needs {
		nd := &w.needs[n]
		if nd.in[s] == 0 || end <= start {
			continue
		}
		rate := nd.in[s] * w.season[n] * w.dice.period(n, 2*s, nd.day, end-start)
		w.learnt[n].add(nd.in[s], rate, end-start)
		use := rate * (end - start)
		bought := w.counter.daily(w, n, use)
		lacking := w.eat(n, 2*s, start, end, rate*(1-bought/use))
		if lacking > speck {
			lacking -= w.counter.atMarket(w, n, lacking)
		}
		w.miss(n, 2*s, use, lacking)
	}
}

// leg sails, eats and arrives; it gives the moment of arrival.
func (w *walker) leg(s int) float64 {
	start := w.depart[s]
	days := (w.stops[s+1].Arrive - w.stops[s].Depart) * w.drift * w.dice.days(s, w.legs[s])
	end := start + days
	for n := range w.needs {
		nd := &w.needs[n]
		if nd.sea[s] > 0 && days > 0 {
			rate := nd.sea[s] * w.season[n] * w.dice.period(n, 2*s+1, nd.day, days)
			w.learnt[n].add(nd.sea[s], rate, days)
			w.miss(n, 2*s+1, rate*days, w.eat(n, 2*s+1, start, end, rate))
		}
		if nd.due[s] > 0 {
			w.out.reserve += max(nd.due[s]-w.reserve(n, end+w.stops[s].ReserveDays, s), 0) * nd.reserveMiss
		}
	}
	return end
}

func (w *walker) reserve(n int, until float64, leg int) float64 {
	sum := 0.0
	for i := range w.lots[n] {
		if l := &w.lots[n][i]; l.expires >= until && l.spoils > w.arrive[leg] && l.lost > leg {
			sum += l.left * w.needs[n].items[l.item].yield
		}
	}
	return sum
}

// eat draws what the plan eats in the period as far as it is there, then what
// must be eaten first, and gives what was lacking, in need-units.
func (w *walker) eat(n, q int, start, end, rate float64) float64 {
	if rate <= 0 {
		return 0
	}
	at, lots, nd := start, w.lots[n], &w.needs[n]
	draw := func(l *lot, most float64) {
		until := min(l.spoils, end)
		if until <= at || l.left <= 0 {
			return
		}
		it := &nd.items[l.item]
		amount := min(l.left, most, rate*(until-at)/it.yield)
		l.left -= amount
		w.out.taste += amount * it.taste
		at = min(at+amount*it.yield/rate, end)
	}
	if meals := nd.meals[q]; len(meals) > 0 {
		portion := rate * (end - start) / w.served(nd, q)
		for i := range lots {
			draw(&lots[i], portion*planOf(meals, &lots[i]))
		}
	}
	for i := range lots {
		draw(&lots[i], lots[i].left)
	}
	return max(rate*(end-at), 0)
}

// served is what the plan eats of lots in a period, in need-units.
func (w *walker) served(nd *need, q int) float64 {
	sum := 0.0
	for _, m := range nd.meals[q] {
		sum += m.left * nd.items[m.item].yield
	}
	return sum
}

func planOf(meals []lot, l *lot) float64 {
	sum := 0.0
	for i := range meals {
		if m := &meals[i]; m.item == l.item && m.space == l.space && m.from == l.from {
			sum += m.left
		}
	}
	return sum
}

func (w *walker) miss(n, period int, use, lacking float64) {
	if lacking <= speck {
		return
	}
	cost := lacking * w.needs[n].miss
	w.out.missing += cost
	w.out.byNeed[n] += cost
	if lacking > shortFrom*use {
		w.short[n][period]++
		w.out.ran[n] = true
		if !w.wasThere(n, period) {
			w.bare[n][period]++
		}
	}
}

// wasThere says whether any shelf passed had something that would have served
// a period, room and money not asked.
func (w *walker) wasThere(n, q int) bool {
	end := w.depart[q/2]
	if q%2 == 1 {
		end = w.depart[q/2] + w.stops[q/2+1].Arrive - w.stops[q/2].Depart
	}
	for i := range w.needs[n].items {
		it := &w.needs[n].items[i]
		for s := 0; 2*s <= q; s++ {
			keeps := 2*s == q || q < 2*it.lost[s] && w.depart[s]+it.longest[s] >= end
			if keeps && len(it.offers[s]) > 0 && w.found(n, i, w.supply[s], it.doubt[s].Available) {
				return true
			}
		}
	}
	return false
}

// clear leaves behind what the plan does, and what does not fit, what expires
// first in front.
func (w *walker) clear(s int) {
	for n := range w.needs {
		for _, x := range w.needs[n].leave[s] {
			for i := range w.lots[n] {
				if l := &w.lots[n][i]; l.item == x.item && l.space == x.space && l.from == x.from {
					l.left -= min(l.left, x.left)
				}
			}
		}
	}
	free := w.counter.free
	copy(free, w.room)
	kg := len(free) - 1
	for n := range w.lots {
		for i := range w.lots[n] {
			l := &w.lots[n][i]
			if l.expires <= w.depart[s] || l.left <= 0 {
				continue
			}
			it := &w.needs[n].items[l.item]
			free[l.space] -= l.left * it.litres
			free[kg] -= l.left * it.kg
		}
	}
	for n := range w.lots {
		for i := range w.lots[n] {
			l := &w.lots[n][i]
			it := &w.needs[n].items[l.item]
			if l.expires <= w.depart[s] {
				continue
			}
			if surplus := min(max(over(free[l.space], it.litres), over(free[kg], it.kg)), l.left); surplus > 0 {
				l.left -= surplus
				free[l.space] += surplus * it.litres
				free[kg] += surplus * it.kg
			}
		}
	}
}

// over is how many item-units take up more room than there is.
func over(free, each float64) float64 {
	if free >= -speck || each == 0 {
		return 0
	}
	return -free / each
}
