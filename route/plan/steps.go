package plan

import (
	"context"
	"errors"
	"fmt"
	"math"
	"slices"

	"hardtack/route/plan/internal/search"
)

// ErrNoOffer says that a shelf is not in the brief.
var ErrNoOffer = errors.New("no such offer")

// Shelf names an offer: a pack of an item of a need at a stop.
type Shelf struct {
	Need, Item string
	Stop       int
	Pack       float64 // item-units
}

// Step says how many packs to take while the shelf asks at most so much for one.
type Step struct {
	Packs int
	UpTo  float64 // price of a pack; +Inf when they are to be taken at any price
}

// Steps is how many packs of a shelf to take as its price moves while the rest
// of the plan stays, from the dearest price at which any is worth taking down:
// the first step's UpTo is the walk-away price. Between none, what the plan takes
// and the most, the need is solved again at the prices at which two counts of
// packs are as good, until no count between them is better: the steps are where
// the cheapest count changes. Without steps nothing is worth taking at any price.
// The plan must keep the rules of the brief; the error is then ErrNoOffer or nil.
func Steps(ctx context.Context, b Brief, p Plan, shelf Shelf) ([]Step, error) {
	c, held, err := opened(b, p)
	if err != nil {
		return nil, fmt.Errorf("steps: %w", err)
	}
	need, offer, err := c.find(shelf)
	if err != nil {
		return nil, fmt.Errorf("steps: %w", err)
	}
	return steps(held.Counts(ctx, need, offer, c.useful(need, offer))), nil
}

// find is the place of a shelf in the model.
func (c *compiled) find(shelf Shelf) (need, offer int, err error) {
	for i := range c.brief.Needs {
		n, m := &c.brief.Needs[i], c.model.Needs[i]
		if n.ID != shelf.Need {
			continue
		}
		for _, s := range m.Sources {
			if it := &n.Items[s.Item]; s.Aboard < 0 && s.Stop == shelf.Stop && it.ID == shelf.Item {
				for _, o := range s.Offers {
					if m.Offers[o].Size == shelf.Pack*it.Yield {
						return i, o, nil
					}
				}
			}
		}
	}
	return 0, 0, fmt.Errorf("%s, %s, stop %d, pack of %g: %w", shelf.Need, shelf.Item, shelf.Stop, shelf.Pack, ErrNoOffer)
}

// useful is the most packs of an offer that anything could be done with.
func (c *compiled) useful(need, offer int) int {
	n := c.model.Needs[need]
	amount, due := 0.0, 0.0
	for _, g := range n.Segments {
		if n.Sources[n.Offers[offer].Source].Serves(g) {
			amount += g.Amount
		}
	}
	for _, x := range n.Due {
		due = max(due, x)
	}
	most := int(min(math.Ceil((amount+due)/n.Offers[offer].Size), search.MaxPacks))
	return min(max(most, n.Offers[offer].Min), n.Offers[offer].Limit)
}

// steps are the counts that are cheapest at some price: the corners of the
// lower hull of cost against count.
func steps(costs []float64) []Step {
	var hull []int
	for n, cost := range costs {
		if math.IsInf(cost, 1) {
			continue
		}
		noise := 1e-7 * (1 + math.Abs(cost))
		for len(hull) > 1 && slope(costs, hull[len(hull)-2], n) <= slope(costs, hull[len(hull)-2], hull[len(hull)-1])+noise {
			hull = hull[:len(hull)-1]
		}
		hull = append(hull, n)
	}
	var list []Step
	for k := 1; k < len(hull); k++ {
		if price := -slope(costs, hull[k-1], hull[k]); price > 1e-6*(1+costs[hull[k]]) {
			list = append(list, Step{hull[k], price})
		}
	}
	if len(hull) > 0 && hull[0] > 0 {
		list = slices.Insert(list, 0, Step{hull[0], math.Inf(1)}) // they must be bought
	}
	return list
}

// slope is what a pack more costs between two counts.
func slope(costs []float64, from, to int) float64 {
	return (costs[to] - costs[from]) / float64(to-from)
}

// At is how many packs to take at a price.
func At(steps []Step, price float64) int {
	packs := 0
	for _, s := range steps {
		if price <= s.UpTo {
			packs = s.Packs
		}
	}
	return packs
}

// Reprice is the brief with a shelf's real price, and the plan for it: the old
// one with the need of that shelf solved again while the rest stays, which is
// what changes first and answers at once. The bound is the old one, lowered by
// as much as a fall of the price can save. The plan must keep the rules of the
// brief and the price be finite and at least 0.
func Reprice(ctx context.Context, b Brief, p Plan, shelf Shelf, price float64) (Brief, Plan, error) {
	again, q, err := reprice(b, p, shelf, price, func(_ *compiled, held *search.Held, need, _ int) { held.Better(ctx, need) })
	if err != nil {
		return Brief{}, Plan{}, fmt.Errorf("reprice: %w", err)
	}
	return again, q, nil
}

// Meet is Reprice for one who wants the steps too, as of Steps: the need is given what
// is cheapest of all counts of packs, so that plan and steps say the same.
func Meet(ctx context.Context, b Brief, p Plan, shelf Shelf, price float64) (Brief, Plan, []Step, error) {
	var list []Step
	again, q, err := reprice(b, p, shelf, price, func(c *compiled, held *search.Held, need, offer int) {
		list = steps(held.Settle(ctx, need, offer, c.useful(need, offer)))
	})
	if err != nil {
		return Brief{}, Plan{}, nil, fmt.Errorf("meet a price: %w", err)
	}
	return again, q, list, nil
}

// reprice puts a price in and has the need of its shelf solved again.
func reprice(b Brief, p Plan, shelf Shelf, price float64, solve func(c *compiled, held *search.Held, need, offer int)) (Brief, Plan, error) {
	if err := holds(b, p); err != nil {
		return Brief{}, Plan{}, err
	}
	c := compile(b)
	need, offer, err := c.find(shelf)
	if err != nil {
		return Brief{}, Plan{}, err
	}
	if math.IsNaN(price) || math.IsInf(price, 0) || price < 0 {
		return Brief{}, Plan{}, fmt.Errorf("price %g: expected a number of at least 0: %w", price, ErrMalformed)
	}
	o := &c.model.Needs[need].Offers[offer]
	bound := max(0, p.Bound-max(0, o.Price-price)*float64(c.mostBought(need, offer)))
	o.Price, c.brief = price, withPrice(b, shelf, price)
	held := c.hold(p)
	solve(c, held, need, offer)
	r := held.Result()
	r.Bound = bound
	return c.brief, c.write(r), nil
}

// mostBought is the most packs of an offer that a plan buys that does not buy
// for nothing: what use and reserve can take, one begun, and what must be.
func (c *compiled) mostBought(need, offer int) int {
	n := c.model.Needs[need]
	amount := 0.0
	for _, g := range n.Segments {
		amount += g.Amount
	}
	for _, x := range n.Due {
		amount += x
	}
	packs := math.Ceil(amount/n.Offers[offer].Size) + float64(n.Offers[offer].Min)
	return int(min(packs, float64(n.Offers[offer].Limit), search.MaxPacks))
}

// withPrice is a brief with another price on one shelf; the old one stays.
func withPrice(b Brief, shelf Shelf, price float64) Brief {
	return b.WithOffers(func(need, item string, o *Offer) {
		if (Shelf{need, item, o.Stop, o.Pack}) == shelf {
			o.Price = price
		}
	})
}
