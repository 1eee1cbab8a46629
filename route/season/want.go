package season

import (
	"cmp"
	"slices"
)

// want is goods to be carried away from a stop.
type want struct {
	need, item  int
	amount      float64 // item-units
	from, until float64 // days between which they are to be eaten
	rank        int     // nextLeg first
}

// What is cut last when room runs out.
const (
	nextLeg = iota
	reserve
	later
)

// wants lists what to carry away from a stop for a need: what the way to the
// next shop lacks, its reserves, and what the habit fills up.
func (c *counter) wants(need int) []want {
	l := &lookout{counter: c, need: need, shop: c.nextShop(need)}
	for _, x := range c.of(need) {
		copied := *x
		l.lots = append(l.lots, &copied)
	}
	for period := 2*c.stop + 1; period < 2*len(c.brief.Stops)-1; period++ {
		l.period(period)
		if period%2 == 1 && period < 2*l.shop {
			l.reserve(period / 2)
		}
	}
	return l.list
}

// nextShop is the next stop that sells something for the need; the number of
// stops when none does.
func (c *counter) nextShop(need int) int {
	for s := c.stop + 1; s < len(c.brief.Stops); s++ {
		if len(c.shelves[s][need]) > 0 {
			return s
		}
	}
	return len(c.brief.Stops)
}

// lookout eats the coming periods in thought, on copies of the lots.
type lookout struct {
	*counter
	need int
	shop int
	lots []*lot
	list []want
}

// period covers what the lots leave open: the cheapest goods as long as they
// keep, then the cheapest that keep longer.
func (l *lookout) period(period int) {
	n := l.brief.Needs[l.need]
	start, end := span(l.brief, period)
	at := eatDown(l.lots, n, start, end, period, func(*lot, float64) {})
	depart := l.brief.Stops[l.stop].Depart
	for _, g := range l.shelf(l.need) {
		until := min(depart+g.days, end)
		if until <= at || period >= 2*g.lost || !l.wanted(g, period) {
			continue
		}
		it := n.Items[g.item]
		amount := min(perDay(n, period)*(until-at)/it.Yield, l.available(l.need, g.item))
		if amount <= speck {
			continue
		}
		rank := later
		if period == 2*l.stop+1 {
			rank = nextLeg
		}
		l.ask(want{l.need, g.item, amount, at, until, rank})
		at += amount * it.Yield / perDay(n, period)
	}
}

func (l *lookout) wanted(g goods, period int) bool {
	return period < 2*l.shop || (g.days >= longKeeping && l.fills(l.stop, l.need, g, period))
}

// reserve asks for what the reserve on an arrival lacks, and goes on with it
// aboard.
func (l *lookout) reserve(leg int) {
	arrive := l.brief.Stops[leg+1].Arrive
	until := arrive + l.brief.Stops[leg].ReserveDays
	lacking := due(l.brief, l.need, leg) - inReserve(l.brief, l.lots, leg)
	expires := func(g goods) float64 { return l.brief.Stops[l.stop].Depart + g.days }
	for _, g := range l.shelf(l.need) {
		it := l.brief.Needs[l.need].Items[g.item]
		amount := min(lacking/it.Yield, l.available(l.need, g.item))
		if amount <= speck || expires(g) < until || g.lost <= leg {
			continue
		}
		lacking -= amount * it.Yield
		l.ask(want{l.need, g.item, amount, arrive, until, reserve})
		l.lots = append(l.lots, &lot{need: l.need, item: g.item, left: amount, expires: expires(g), lost: g.lost})
	}
}

func (l *lookout) ask(x want) {
	l.asked[key{x.need, x.item}] += x.amount
	l.list = append(l.list, x)
}

// byUrgency puts food for the next leg in front, then what the crew can do
// least without.
func (c *counter) byUrgency(list []want) {
	slices.SortStableFunc(list, func(x, y want) int {
		return cmp.Or(cmp.Compare(x.rank, y.rank),
			-cmp.Compare(c.brief.Needs[x.need].MissingCost, c.brief.Needs[y.need].MissingCost))
	})
}
