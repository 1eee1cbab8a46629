package plan

import (
	"context"
	"fmt"
	"math"
	"slices"

	"hardtack/route/plan/internal/search"
)

// Ordered says how many packs of an offer somebody would like to be bought.
type Ordered func(need, item string, o Offer) int

// Among picks for every need what it does in one of some plans, so that together they
// cost least, where money in what is bought otherwise than ordered, at the least price
// of a unit at its stop, counts lean times beside (the proximal point of the order). The
// plans must keep the rules of the brief.
func Among(ctx context.Context, b Brief, plans []Plan, ordered Ordered, lean float64) (Plan, error) {
	return leaned(b, plans, ordered, lean, func(m *search.Model, all [][]*search.Schedule) []*search.Schedule {
		return search.Among(ctx, m, all)
	})
}

// Lean looks for a cheap plan from some plans at hand where money in what is bought
// otherwise than ordered counts lean times beside, as in Among; lean in [0, 1), so that
// no price falls to nothing. Nothing is proven.
func Lean(ctx context.Context, b Brief, plans []Plan, ordered Ordered, lean float64, budget Budget) (Plan, error) {
	return leaned(b, plans, ordered, lean, func(m *search.Model, all [][]*search.Schedule) []*search.Schedule {
		o := search.Options{Seed: budget.Seed, Work: budget.work(b), Workers: budget.Workers, From: all}
		return search.Run(ctx, m, o).Schedules
	})
}

// leaned is the plan that is chosen, knowing some plans, where what is ordered is cheaper.
func leaned(b Brief, plans []Plan, ordered Ordered, lean float64, choose func(*search.Model, [][]*search.Schedule) []*search.Schedule) (Plan, error) {
	c := compile(b)
	l := leaning{compile(b).model, c.orders(ordered), make([][]int, len(b.Needs))}
	for i := range b.Needs {
		l.lean(i, lean)
	}
	all := make([][]*search.Schedule, len(plans))
	for k, p := range plans {
		if err := holds(b, p); err != nil {
			return Plan{}, fmt.Errorf("lean to an order: %w", err)
		}
		all[k] = c.hold(p).Result().Schedules
		for i, s := range all[k] {
			l.split(i, s)
		}
	}
	best := choose(l.model, all)
	for i, s := range best {
		l.join(i, s)
	}
	r := search.Hold(c.model, best).Result()
	r.Bound = plans[0].Bound
	return c.write(r), nil
}

// leaning is a model in which what is ordered of an offer is cheaper and all beyond, an
// offer of its own behind all others, dearer.
type leaning struct {
	model  *search.Model
	orders [][]int
	beyond [][]int // per need: of which offer each of those behind is the rest
}

// lean changes the offers of a need by lean times the least price of a unit there.
func (l *leaning) lean(need int, lean float64) {
	n := l.model.Needs[need]
	for i := range n.Sources {
		s, unit := &n.Sources[i], n.UnitPrice(i)
		if math.IsInf(unit, 1) {
			continue // nothing is to be had there
		}
		for _, o := range slices.Clone(s.Offers) {
			more, packs, by := n.Offers[o], l.orders[need][o], lean*unit*n.Offers[o].Size
			more.Price += by
			if packs == 0 {
				n.Offers[o] = more
				continue
			}
			more.Min, more.Limit = 0, more.Limit-packs
			n.Offers[o].Limit, n.Offers[o].Price = packs, n.Offers[o].Price-by
			s.Offers = append(s.Offers, len(n.Offers))
			n.Offers, l.beyond[need] = append(n.Offers, more), append(l.beyond[need], o)
		}
	}
}

// split puts what a schedule buys beyond an order behind.
func (l *leaning) split(need int, s *search.Schedule) {
	for _, o := range l.beyond[need] {
		more := max(0, s.Packs[o]-l.orders[need][o])
		s.Packs[o] -= more
		s.Packs = append(s.Packs, more)
	}
}

// join undoes it.
func (l *leaning) join(need int, s *search.Schedule) {
	all := len(s.Packs) - len(l.beyond[need])
	for k, o := range l.beyond[need] {
		s.Packs[o] += s.Packs[all+k]
	}
	s.Packs = s.Packs[:all]
}

// Toward is the plan brought to cost no more than most, if that is found, and then as
// near as that leaves money for to what is ordered: need by need while all others stay,
// what saves most or comes nearest for its money first. The plan must keep the rules of
// the brief. A ctx that ends gives what was come to.
func Toward(ctx context.Context, b Brief, p Plan, ordered Ordered, most float64) (Plan, error) {
	c, held, err := opened(b, p)
	if err != nil {
		return Plan{}, fmt.Errorf("toward an order: %w", err)
	}
	held.Toward(ctx, c.orders(ordered), most)
	r := held.Result()
	r.Bound = p.Bound
	return c.write(r), nil
}

// orders are the packs ordered of every need's offers, as far as their limits go.
func (c *compiled) orders(ordered Ordered) [][]int {
	orders := make([][]int, len(c.brief.Needs))
	for i := range c.brief.Needs {
		n, m := &c.brief.Needs[i], c.model.Needs[i]
		for _, o := range m.Offers {
			it, stop := &n.Items[m.Sources[o.Source].Item], m.Sources[o.Source].Stop
			at := slices.IndexFunc(it.Offers, func(x Offer) bool { return x.Stop == stop && x.Pack*it.Yield == o.Size })
			orders[i] = append(orders[i], min(max(ordered(n.ID, it.ID, it.Offers[at]), o.Min), o.Limit))
		}
	}
	return orders
}
