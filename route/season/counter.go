package season

import (
	"cmp"
	"math"
	"slices"

	"hardtack/route/plan"
)

type key struct{ need, item int }

// counter is the shopping of one stop: what is taken first, in item-units,
// and the whole packs it makes in the end.
type counter struct {
	*walker
	stop    int
	room    room
	asked   map[key]float64 // eaten here and to be carried, before room cuts it
	baskets []*basket       // in the order of the brief
}

// basket is what is taken of one item.
type basket struct {
	key
	here   float64 // eaten in the stay
	stowed []plan.Stowed
}

func newCounter(w *walker, stop int) *counter {
	c := &counter{walker: w, stop: stop, asked: map[key]float64{}}
	for n, need := range w.brief.Needs {
		for i := range need.Items {
			c.baskets = append(c.baskets, &basket{key: key{n, i}})
		}
	}
	return c
}

func (c *counter) shelf(need int) []goods { return c.shelves[c.stop][need] }

func (c *counter) basket(k key) *basket {
	return c.baskets[slices.IndexFunc(c.baskets, func(b *basket) bool { return b.key == k })]
}

// available is how many item-units nobody has asked for yet.
func (c *counter) available(need, item int) float64 {
	_, amount := unitPrice(c.brief.Needs[need].Items[item], c.stop)
	return amount - c.asked[key{need, item}]
}

// eatHere buys the use of the stay day by day, the cheapest first, and
// returns what could not be had, need-units.
func (c *counter) eatHere(need int, lacking float64) float64 {
	for _, g := range c.shelf(need) {
		it := c.brief.Needs[need].Items[g.item]
		amount := min(lacking/it.Yield, c.available(need, g.item))
		if amount <= 0 {
			continue
		}
		c.asked[key{need, g.item}] += amount
		c.basket(key{need, g.item}).here += amount
		c.eaten[need] += amount * it.Yield
		c.plan.Cost.Taste += amount * it.TasteCost
		lacking = max(lacking-amount*it.Yield, 0)
	}
	return lacking
}

// stock stows what is wanted, the most urgent first, as far as it fits.
func (c *counter) stock() {
	c.room = newRoom(c.walker, c.stop)
	var list []want
	for n := range c.brief.Needs {
		list = append(list, c.wants(n)...)
	}
	c.byUrgency(list)
	for _, x := range list {
		c.stow(c.basket(key{x.need, x.item}), x.amount, x.from, x.until)
	}
}

// stow puts an amount where it lasts but no longer than it must, then into
// the other spaces, then leaves the rest.
func (c *counter) stow(b *basket, amount, from, until float64) {
	it := c.brief.Needs[b.need].Items[b.item]
	keeps := slices.Clone(it.Keeps)
	slices.SortStableFunc(keeps, func(x, y plan.Keep) int { return c.worse(x, until) - c.worse(y, until) })
	for _, k := range keeps {
		if c.brief.Stops[c.stop].Depart+k.Days[c.stop] <= from {
			continue
		}
		fits := min(amount, c.room.fits(it, k.Space))
		if fits <= speck {
			continue
		}
		c.room.take(it, k.Space, fits)
		b.stowed = add(b.stowed, k.Space, fits)
		amount -= fits
	}
}

// worse is 0 for a space in which goods last until a moment, else 1.
func (c *counter) worse(k plan.Keep, until float64) int {
	if c.brief.Stops[c.stop].Depart+k.Days[c.stop] >= until {
		return 0
	}
	return 1
}

func add(stowed []plan.Stowed, space string, amount float64) []plan.Stowed {
	for i := range stowed {
		if stowed[i].Space == space {
			stowed[i].Amount += amount
			return stowed
		}
	}
	return append(stowed, plan.Stowed{Space: space, Amount: amount})
}

func (b *basket) carried() float64 {
	sum := 0.0
	for _, s := range b.stowed {
		sum += s.Amount
	}
	return sum
}

// packsOf is whole packs that hold an amount, and at least the wished ones:
// the one size that does it for least, or where a size runs out, one after
// the other by price.
func packsOf(it plan.Item, stop int, amount float64) (offers []plan.Offer, packs []int) {
	for _, o := range it.Offers {
		if o.Stop == stop {
			offers = append(offers, o)
			packs = append(packs, o.Min)
			amount -= float64(o.Min) * o.Pack
		}
	}
	cost := func(i int) float64 {
		n := wholePacks(amount, offers[i].Pack)
		if l := offers[i].Limit; l != nil && packs[i]+n > *l {
			return math.Inf(1)
		}
		return float64(n) * offers[i].Price
	}
	order := make([]int, len(offers))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(x, y int) int {
		return cmp.Or(cmp.Compare(cost(x), cost(y)),
			cmp.Compare(offers[x].Price/offers[x].Pack, offers[y].Price/offers[y].Pack))
	})
	for _, i := range order {
		n := wholePacks(amount, offers[i].Pack)
		if l := offers[i].Limit; l != nil {
			n = min(n, *l-packs[i])
		}
		packs[i] += n
		amount -= float64(n) * offers[i].Pack
	}
	return offers, packs
}

func wholePacks(amount, pack float64) int {
	return max(int(math.Ceil(amount/pack-1e-9)), 0)
}
