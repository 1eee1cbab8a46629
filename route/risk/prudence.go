package risk

import (
	"math"
	"slices"

	"hardtack/pricing/item"
	"hardtack/route/chance"
)

// Allowed is the chance that is taken of running out of a need of a class
// before it is found again: 0.5 % where safety hangs on it, 2 % for staples,
// 10 % for comfort, any for luxury.
func Allowed(c item.Necessity) float64 {
	switch c {
	case item.Safety:
		return 0.005
	case item.Staple:
		return 0.02
	case item.Comfort:
		return 0.1
	}
	return 1
}

// must says whether no more of a need is left to chance than allowed, whatever
// it costs here. Comfort is bought ahead where that is worth its money.
func must(c item.Necessity) bool { return c == item.Safety || c == item.Staple }

// prudence works out what stores must hold at each departure.
func (n *need) prudence(f *field, d NeedDoubt) {
	allowed := Allowed(d.Class)
	if d.Class == item.Safety {
		allowed = 1 - math.Pow(1-allowed, 1/float64(max(n.waits(f), 1))) // the season over
	}
	for s := range n.cover {
		n.cover[s] = n.lastUntil(f, s+1, allowed)
		if must(d.Class) && n.sells(s) {
			n.hold[s] = chance.Hold(n.shelves(f, d, s), n.useUntil(f, d, s, len(f.stops)), allowed)
		}
	}
}

// waits is at how many stops the season leaves it to the ports ahead.
func (n *need) waits(f *field) int {
	k := 0
	for s := range len(f.stops) - 1 {
		if n.sells(s) {
			k++
		}
	}
	return k
}

// shelves are the ports after a stop. Stops of one ship count once, by the
// likeliest.
func (n *need) shelves(f *field, d NeedDoubt, stop int) (out []chance.Shelf) {
	found := make([]float64, len(f.stops)) // by ship
	for j := stop + 1; j < len(f.stops); j++ {
		x := n.useUntil(f, d, stop, j)
		ship := f.supply[j]
		if a := n.available(j); a > found[ship] {
			x.Found = 1 - (1-a)/(1-found[ship])
			found[ship] = a
		}
		out = append(out, x)
	}
	return out
}

// useUntil is what is used from the departure from a stop to the arrival at
// another, or to the end of the season, meals ashore apart.
func (n *need) useUntil(f *field, d NeedDoubt, stop, until int) chance.Shelf {
	mean, variance := 0.0, 0.0
	for q := 2*stop + 1; q < min(2*until, 2*len(f.stops)-1); q++ {
		at := f.stops[q/2]
		days, perDay, logSD := at.Depart-at.Arrive, n.in[q/2], 0.0
		if q%2 == 1 {
			days, perDay, logSD = (f.stops[q/2+1].Arrive-at.Depart)*f.drift, n.sea[q/2], f.legs[q/2]
		}
		if days <= 0 || perDay == 0 {
			continue
		}
		use := days * perDay * math.Exp(logSD*logSD/2)
		mean += use
		variance += use * use * (d.Day*d.Day/max(days, 1) + math.Expm1(logSD*logSD))
	}
	if mean == 0 {
		return chance.Shelf{}
	}
	season := d.Season * math.Sqrt(1-trust(f.stops[stop].Depart, d.Season, d.Day))
	return chance.Shelf{Mean: mean, CV: math.Sqrt(variance/(mean*mean) + season*season)}
}

// beSafe wants what stores lack of what they must hold, beside what is wanted
// from here on already.
func (c *counter) beSafe(w *walker, nd *need, n, first int) {
	if !w.careful || nd.hold[c.stop] <= speck {
		return
	}
	k := &w.look
	k.lots = append(k.lots[:0], w.lots[n]...)
	for _, x := range c.wants[first:] {
		if x.rank == useful {
			continue // if there is room
		}
		it := &nd.items[x.item]
		days := it.longest[c.stop]
		if x.space >= 0 {
			days = it.days(x.space, c.stop)
		}
		k.lots = append(k.lots, lot{item: x.item, left: x.amount, from: c.stop, lost: it.lost[c.stop], expires: w.depart[c.stop] + days}.toUse(w.stops))
	}
	slices.SortStableFunc(k.lots, byUse)
	rank := prudent
	if nd.class == item.Safety {
		rank = urgent
	}
	k.stress(w, nd, n, c.stop)
	for q := 2*c.stop + 1; q < 2*nd.cover[c.stop] && q < 2*len(w.stops)-1; q++ {
		c.secure(w, nd, n, q, k.lack[q], rank, first)
	}
}

// secure wants an amount for a period that nothing aboard serves should the
// ports ahead fail.
func (c *counter) secure(w *walker, nd *need, n, q int, amount float64, rank, first int) {
	if amount <= speck {
		return
	}
	i := c.serves(w, nd, n, q)
	if i < 0 || c.cost(n, i) >= nd.miss {
		return
	}
	c.want(w, n, i, q, amount/nd.items[i].yield, rank, amount*(nd.miss-c.cost(n, i)))
	for j := first; j < len(c.wants); j++ { // it is wanted already, if there is room
		if x := &c.wants[j]; x.item == i && x.rank == useful {
			x.amount = max(x.amount-amount/nd.items[i].yield, speck)
		}
	}
}

// stress eats through what must be held, as far as the stop by which the thing
// will have been found, nothing bought on the way.
func (k *lookout) stress(w *walker, nd *need, n, s int) {
	until, mean := nd.cover[s], 0.0
	for q := 2*s + 1; q < 2*until && q < 2*len(w.stops)-1; q++ {
		start, end, rate := w.period(nd, q)
		mean += rate * max(end-start, 0)
	}
	if mean <= 0 {
		return
	}
	factor := k.believed * nd.hold[s] / mean
	for q := 2*s + 1; q < 2*until && q < 2*len(w.stops)-1; q++ {
		start, end, rate := w.period(nd, q)
		k.lack[q] = 0
		if rate *= factor; rate <= 0 || end <= start {
			continue
		}
		at := start
		for i := range k.lots {
			l := &k.lots[i]
			to := min(l.expires, end)
			if to <= at || l.left <= 0 || q >= 2*l.lost {
				continue
			}
			yield := nd.items[l.item].yield
			amount := min(l.left, rate*(to-at)/yield)
			l.left -= amount
			at += amount * yield / rate
		}
		if end-at > 1e-9*end {
			k.lack[q] = rate * (end - at)
		}
	}
}

// period is when a period is expected to begin and end, and a need's use a day.
func (w *walker) period(nd *need, q int) (start, end, perDay float64) {
	if q%2 == 0 {
		return w.arrive[q/2], w.depart[q/2], nd.in[q/2]
	}
	return w.depart[q/2], w.arrive[q/2+1], nd.sea[q/2]
}
