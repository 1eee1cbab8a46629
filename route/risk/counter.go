package risk

import (
	"cmp"
	"math"
	"slices"

	"hardtack/route/plan"
)

// counter is the shopping of one stop.
type counter struct {
	stop    int
	baskets [][]basket // by need and item
	free    []float64  // room, as field.room
	wants   []want
	load    float64 // kg carried away
}

// basket is what is taken of one item.
type basket struct {
	factor  float64 // on the expected prices; 0 = not on the shelf
	cost    float64 // of a need-unit, dislike counted; +Inf = not on the shelf
	most    float64 // item-units to be had and not asked for yet
	ashore  float64 // eaten in the stay, item-units
	carried float64 // item-units
	stowed  []planned
	extra   int // packs on top
}

// Ranks of what is carried away, the most urgent first.
const (
	asPlanned = iota
	urgent    // nothing else will serve it
	prudent   // not to be left to chance; takes no room the plan wants later
	useful    // costs less here than waiting; the same
)

// want is goods to be carried away.
type want struct {
	need, item int
	space      int // -1: where they last
	amount     float64
	until      float64 // day they are to last to
	last       int     // period they are eaten in at the latest
	rank       int
	benefit    float64 // against leaving them
}

func newCounter(f *field) counter {
	c := counter{free: make([]float64, len(f.room))}
	for n := range f.needs {
		c.baskets = append(c.baskets, make([]basket, len(f.needs[n].items)))
	}
	return c
}

// cost of a need-unit on the shelf.
func (c *counter) cost(need, item int) float64 { return c.baskets[need][item].cost }

// open looks at the shelves.
func (c *counter) open(w *walker, s int) {
	c.stop, c.wants = s, c.wants[:0]
	for n := range w.needs {
		for i := range w.needs[n].items {
			t, b := &w.needs[n].items[i], &c.baskets[n][i]
			*b = basket{cost: math.Inf(1), stowed: b.stowed[:0]}
			if len(t.offers[s]) == 0 || !w.found(n, i, w.supply[s], t.doubt[s].Available) {
				continue
			}
			b.factor = w.price(n, i, s, t.doubt[s].LogSD)
			b.cost = (t.expected(s)*t.yield-t.taste)*b.factor + t.taste
			b.cost /= t.yield
			for _, o := range t.offers[s] {
				if o.Limit == nil {
					b.most = math.Inf(1)
				} else {
					b.most += float64(*o.Limit) * o.Pack
				}
			}
		}
	}
	for _, x := range w.extra {
		if x.stop == s && c.baskets[x.need][x.item].factor > 0 {
			c.baskets[x.need][x.item].extra += x.packs
		}
	}
}

// daily buys what the plan eats in the stay fresh from the shop, the planned
// items first, and gives how much was got, in need-units.
func (c *counter) daily(w *walker, n int, use float64) float64 {
	nd, got := &w.needs[n], 0.0
	if nd.ashore[c.stop] == 0 {
		return 0
	}
	for i, share := range nd.daily[c.stop] {
		if share > 0 {
			got += c.eatHere(w, n, i, share*use)
		}
	}
	return got + c.atMarket(w, n, nd.ashore[c.stop]*use-got)
}

// atMarket buys for the stay, the cheapest first.
func (c *counter) atMarket(w *walker, n int, use float64) float64 {
	got := 0.0
	for got < use-speck {
		best := -1
		for i := range c.baskets[n] {
			if c.baskets[n][i].most > speck && (best < 0 || c.cost(n, i) < c.cost(n, best)) {
				best = i
			}
		}
		if best < 0 || !c.worthAPack(w, n, best, use-got) {
			break
		}
		more := c.eatHere(w, n, best, use-got)
		if more == 0 {
			break
		}
		got += more
	}
	return got
}

// worthAPack says whether going without costs more than the packs it takes.
func (c *counter) worthAPack(w *walker, n, i int, use float64) bool {
	b, it := &c.baskets[n][i], &w.needs[n].items[i]
	amount := min(use/it.yield, b.most)
	before, _ := bill(it.offers[c.stop], b.ashore)
	after, _ := bill(it.offers[c.stop], b.ashore+amount)
	return (after-before)*b.factor+amount*it.taste < amount*it.yield*w.needs[n].miss
}

// eatHere buys one item for the stay unless going without costs less.
func (c *counter) eatHere(w *walker, n, i int, use float64) float64 {
	b, it := &c.baskets[n][i], &w.needs[n].items[i]
	amount := min(use/it.yield, b.most)
	if amount <= 0 || b.cost >= w.needs[n].miss {
		return 0
	}
	b.most -= amount
	b.ashore += amount
	w.out.taste += amount * it.taste
	return amount * it.yield
}

// stock decides what is carried away, as far as there is room.
func (c *counter) stock(w *walker) {
	for n := range w.needs {
		c.decide(w, n)
	}
	slices.SortStableFunc(c.wants, func(x, y want) int {
		return cmp.Or(cmp.Compare(x.rank, y.rank), cmp.Compare(y.benefit/y.amount, x.benefit/x.amount))
	})
	if w.trips[c.stop] == 0 && !c.worthATrip(w) {
		return
	}
	kg, carry := 0.0, math.Inf(1)
	if most := w.stops[c.stop].TripCarryKg; most != nil {
		carry = *most
	}
	for _, x := range c.wants {
		it := &w.needs[x.need].items[x.item]
		if trips := float64(max(w.trips[c.stop], 1)); x.rank == useful && kg+x.amount*it.kg > trips*carry {
			continue // not worth another way to the shop
		}
		kg += c.stow(w, x) * it.kg
	}
}

// worthATrip says whether what is wanted beyond the plan pays the way there.
func (c *counter) worthATrip(w *walker) bool {
	sum := 0.0
	for _, x := range c.wants {
		sum += x.benefit
	}
	return sum > w.stops[c.stop].TripCost
}

// stow puts a want where it lasts, as far as it fits, and gives how much of it
// did, in item-units.
func (c *counter) stow(w *walker, x want) float64 {
	it, b, sum := &w.needs[x.need].items[x.item], &c.baskets[x.need][x.item], 0.0
	for _, k := range it.keeps {
		if x.space >= 0 && k.space != x.space || x.space < 0 && w.depart[c.stop]+k.days[c.stop] < x.until-speck {
			continue
		}
		amount := min(x.amount-sum, b.most, c.fits(w, it, k.space, x))
		if amount <= speck {
			continue
		}
		c.take(w, it, k.space, amount, x)
		b.most -= amount
		b.carried += amount
		b.stowed = append(b.stowed, planned{x.item, k.space, amount})
		sum += amount
	}
	return sum
}

// fits is how many item-units go into a space: now, and where the plan wants
// the room later, then too.
func (c *counter) fits(w *walker, it *thing, space int, x want) float64 {
	kg := len(c.free) - 1
	amount := min(per(c.free[space], it.litres), per(c.free[kg], it.kg))
	if x.rank >= prudent {
		for s := c.stop + 1; s <= x.last/2 && s < len(w.stops)-1; s++ {
			amount = min(amount, per(w.slack[s][space]-w.carried[s][space], it.litres), per(w.slack[s][kg]-w.carried[s][kg], it.kg))
		}
	}
	return max(amount, 0)
}

func per(free, each float64) float64 {
	if each == 0 {
		return math.Inf(1)
	}
	return free / each
}

func (c *counter) take(w *walker, it *thing, space int, amount float64, x want) {
	kg := len(c.free) - 1
	c.free[space] -= amount * it.litres
	c.free[kg] -= amount * it.kg
	if x.rank < prudent {
		return
	}
	for s := c.stop + 1; s <= x.last/2 && s < len(w.stops)-1; s++ {
		w.carried[s][space] += amount * it.litres
		w.carried[s][kg] += amount * it.kg
	}
}

// bill is what whole packs holding an amount cost by the brief, and what they
// hold: any number of one size and the rest in another, whichever is least.
// Where the sizes run out, all there is.
func bill(offers []plan.Offer, amount float64) (cost, held float64) {
	if amount <= speck {
		return 0, 0
	}
	cost = math.Inf(1)
	for i := range offers {
		k := packs(&offers[i], amount)
		if len(offers) == 1 {
			return float64(k) * offers[i].Price, float64(k) * offers[i].Pack
		}
		for ; k >= 0; k-- {
			paid, got := float64(k)*offers[i].Price, float64(k)*offers[i].Pack
			if got < amount-speck {
				paid, got = addRest(offers, i, amount, paid, got)
			}
			if short := max(amount-got-speck, 0); paid+short*dear < cost {
				cost, held = paid+short*dear, got
			}
		}
	}
	return cost - max(amount-held-speck, 0)*dear, held
}

// dear is more than any item-unit costs.
const dear = 1e9

// addRest adds what is lacking in the cheapest other size.
func addRest(offers []plan.Offer, not int, amount, paid, got float64) (cost, held float64) {
	best := math.Inf(1)
	cost, held = paid, got
	for j := range offers {
		if j == not {
			continue
		}
		m := packs(&offers[j], amount-got)
		more, holds := float64(m)*offers[j].Price, float64(m)*offers[j].Pack
		if x := more + max(amount-got-holds-speck, 0)*dear; x < best {
			best, cost, held = x, paid+more, got+holds
		}
	}
	return cost, held
}

// packs is how many it takes, as far as there are so many.
func packs(o *plan.Offer, amount float64) int {
	k := int(math.Ceil((amount - speck) / o.Pack))
	if o.Limit != nil {
		k = min(k, *o.Limit)
	}
	return max(k, 0)
}
