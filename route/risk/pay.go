package risk

import (
	"math"
	"slices"
)

// pay buys whole packs, stows what they hold beyond what was asked for where
// it fits, and goes to fetch what is carried away.
func (c *counter) pay(w *walker) {
	kg, lines := 0.0, 0
	c.load = 0
	for n := range w.needs {
		for i := range w.needs[n].items {
			c.load += c.baskets[n][i].carried * w.needs[n].items[i].kg
		}
	}
	for n := range w.needs {
		for i := range w.needs[n].items {
			b := &c.baskets[n][i]
			if b.ashore+b.carried <= speck && b.extra == 0 {
				continue
			}
			it := &w.needs[n].items[i]
			c.buy(w, n, i)
			if b.carried > speck {
				lines++
				kg += b.carried * it.kg
				w.out.lines += it.line
			}
		}
	}
	if lines == 0 {
		return
	}
	count := 1.0
	if most := w.stops[c.stop].TripCarryKg; most != nil {
		count = max(count, math.Ceil(kg / *most - speck))
	}
	w.out.trips += count * w.stops[c.stop].TripCost
}

func (c *counter) buy(w *walker, n, i int) {
	it, b := &w.needs[n].items[i], &c.baskets[n][i]
	cost, held := bill(it.offers[c.stop], b.ashore+b.carried)
	cost += float64(b.extra) * it.offers[c.stop][0].Price
	held += float64(b.extra) * it.offers[c.stop][0].Pack
	w.out.goods += cost * b.factor
	if rest := held - b.ashore - b.carried; rest > speck && (b.carried > speck || b.extra > 0) {
		c.keepRest(w, n, i, rest)
	}
	life := w.life(n, i, c.stop, it.life)
	for _, st := range b.stowed {
		days := it.days(st.space, c.stop)
		l := lot{item: i, space: st.space, left: st.amount, from: c.stop, lost: it.lost[c.stop],
			expires: w.depart[c.stop] + days, spoils: w.depart[c.stop] + days*life}.toUse(w.stops)
		at, _ := slices.BinarySearchFunc(w.lots[n], l, byUse)
		w.lots[n] = slices.Insert(w.lots[n], at, l)
	}
}

// keepRest stows what packs hold beyond what was asked for, if it is in no
// plan's way and makes no way to the shop more.
func (c *counter) keepRest(w *walker, n, i int, rest float64) {
	it, b := &w.needs[n].items[i], &c.baskets[n][i]
	if most := w.stops[c.stop].TripCarryKg; most != nil && b.extra == 0 {
		trips := math.Ceil(c.load / *most - speck)
		rest = min(rest, per(trips**most-c.load, it.kg))
	}
	b.most = max(b.most, rest) // it is bought already
	c.load += it.kg * c.stow(w, want{need: n, item: i, space: -1, amount: rest, rank: useful, last: 2 * len(w.stops)})
}
