package underway

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"slices"

	"hardtack/route/plan"
)

// Within is how much dearer than the best a plan may be for the sake of
// staying near the accepted one.
const Within = 0.005

// Steady is the plan nearest to the accepted one among good ones.
type Steady struct {
	Plan  plan.Plan
	Best  float64    // cost of the cheapest plan found
	Kept  *plan.Cost // what keeping to the accepted purchases exactly would cost
	Moved float64    // money in purchases that differ from the accepted ones
}

// Options of Replan.
type Options struct {
	plan.Budget                 // of every search; several are made
	Better      func(plan.Plan) // told of better plans of the first one; may be nil
}

// Replan plans a brief near what an accepted plan would buy: of the plans
// found within Within of the cheapest, the one that moves the least money.
// What must be bought stays bought and what is not offered is not. A ctx that
// ends gives the best so far. The error is that of b.Check.
func Replan(ctx context.Context, b plan.Brief, accepted []Order, o Options) (Steady, error) {
	free, err := plan.Solve(ctx, b, o.Budget, o.Better)
	if err != nil {
		return Steady{}, fmt.Errorf("plan anew: %w", err)
	}
	r := &replanner{ctx: ctx, brief: b, orders: accepted, budget: o.Budget, bound: free.Bound}
	r.add(free)
	if err := r.keep(); err != nil {
		return Steady{}, err
	}
	if err := r.loosen(free); err != nil {
		return Steady{}, err
	}
	return r.choose(), nil
}

type replanner struct {
	ctx    context.Context
	brief  plan.Brief
	orders []Order
	budget plan.Budget
	bound  float64
	plans  []plan.Plan
	kept   *plan.Cost
}

// add takes a plan in by what it costs by the brief itself.
func (r *replanner) add(p plan.Plan) {
	p, err := Restate(r.brief, p, r.bound)
	if err == nil && plan.Verify(r.brief, p) == nil {
		r.plans = append(r.plans, p)
	}
}

// keep tries the accepted purchases as they are.
func (r *replanner) keep() error {
	exact := r.bend(func(o *plan.Offer, _ string, packs int) {
		o.Min = max(o.Min, packs)
		if most := max(packs, o.Min); o.Limit == nil || *o.Limit > most {
			o.Limit = &most
		}
	})
	p, err := plan.Solve(r.ctx, exact, r.budget, nil)
	if err != nil {
		return fmt.Errorf("keep to the accepted plan: %w", err)
	}
	before := len(r.plans)
	r.add(p)
	if len(r.plans) > before {
		r.kept = &r.plans[before].Cost
	}
	return nil
}

// aside is by how much offers the accepted plan leaves alone are made dearer,
// so that it is not left for pennies.
const aside = 0.05

// loosen holds to the accepted purchases of as many needs as can be afforded:
// first of all, then of fewer, those first let go whose purchases cost most
// against the cheapest plan's.
func (r *replanner) loosen(free plan.Plan) error {
	held, err := r.holding(nil)
	if err != nil {
		return err
	}
	if r.affordable(held) {
		return nil
	}
	excess, best := needCosts(r.brief, held), needCosts(r.brief, free)
	order := make([]int, len(r.brief.Needs))
	for n := range order {
		order[n] = n
		excess[n] -= best[n]
	}
	slices.SortStableFunc(order, func(x, y int) int { return cmp.Compare(excess[y], excess[x]) })
	for k := 1; k <= len(order); k += (k + 1) / 2 {
		let := map[string]bool{}
		for _, n := range order[:k] {
			let[r.brief.Needs[n].ID] = true
		}
		if held, err = r.holding(let); err != nil || r.affordable(held) {
			return err
		}
	}
	return nil
}

// holding plans with at least the accepted purchases, but for needs let go.
func (r *replanner) holding(let map[string]bool) (plan.Plan, error) {
	p, err := plan.Solve(r.ctx, r.bend(func(o *plan.Offer, need string, packs int) {
		switch {
		case packs == 0:
			o.Price *= 1 + aside
		case !let[need]:
			o.Min = max(o.Min, packs)
			if o.Limit != nil && *o.Limit < o.Min {
				o.Min = *o.Limit
			}
		}
	}), r.budget, nil)
	if err != nil {
		return p, fmt.Errorf("hold to the accepted plan: %w", err)
	}
	r.add(p)
	return p, nil
}

func (r *replanner) affordable(p plan.Plan) bool {
	p, err := Restate(r.brief, p, 0)
	return err == nil && p.Cost.Total <= r.best()*(1+Within)
}

// bend is the brief with its offers changed by what is ordered of them.
func (r *replanner) bend(change func(o *plan.Offer, need string, packs int)) plan.Brief {
	return r.brief.WithOffers(func(need, item string, o *plan.Offer) {
		change(o, need, r.ordered(item, *o))
	})
}

func (r *replanner) ordered(item string, o plan.Offer) int {
	for _, x := range r.orders {
		if x.Item == item && x.Stop == o.Stop && x.Pack == o.Pack {
			if o.Limit != nil {
				return min(x.Packs, *o.Limit)
			}
			return x.Packs
		}
	}
	return 0
}

func (r *replanner) best() float64 {
	least := math.Inf(1)
	for _, p := range r.plans {
		least = min(least, p.Cost.Total)
	}
	return least
}

func (r *replanner) choose() Steady {
	out := Steady{Best: r.best(), Kept: r.kept, Moved: math.Inf(1)}
	for _, p := range r.plans {
		if moved := Moved(r.brief, r.orders, p); p.Cost.Total <= out.Best*(1+Within) && moved < out.Moved {
			out.Plan, out.Moved = p, moved
		}
	}
	return out
}

// Moved is the money in amounts bought that differ from those ordered, stop by
// stop and item by item.
func Moved(b plan.Brief, orders []Order, p plan.Plan) float64 {
	type at struct {
		item string
		stop int
	}
	differ := map[at]float64{}
	for _, o := range orders {
		differ[at{o.Item, o.Stop}] -= float64(o.Packs) * o.Pack
	}
	for _, x := range p.Purchases {
		differ[at{x.Item, x.Stop}] += float64(x.Packs) * x.Pack
	}
	sum := 0.0
	for _, n := range b.Needs {
		for _, it := range n.Items {
			for s := range b.Stops {
				if d := math.Abs(differ[at{it.ID, s}]); d > speck {
					sum += d * unitPrice(it, s)
				}
			}
		}
	}
	return sum
}

// unitPrice is the least price of an item-unit at a stop; 0 where none is sold.
func unitPrice(it plan.Item, stop int) float64 {
	best := 0.0
	for _, o := range it.Offers {
		if o.Stop == stop && (best == 0 || o.Price/o.Pack < best) {
			best = o.Price / o.Pack
		}
	}
	return best
}

// needCosts is what each need of the brief costs in a plan, ways to the shops
// left out.
func needCosts(b plan.Brief, p plan.Plan) []float64 {
	out := make([]float64, len(b.Needs))
	for n, need := range b.Needs {
		for _, it := range need.Items {
			for _, x := range p.Purchases {
				if x.Item == it.ID {
					out[n] += float64(x.Packs)*x.Price + x.EatenInPort*it.TasteCost
				}
			}
			for _, d := range p.Draws {
				if d.Item == it.ID {
					out[n] += d.Amount * it.TasteCost
				}
			}
		}
		for _, m := range p.Missing {
			if m.Need == need.ID {
				out[n] += m.Amount * need.MissingCost
			}
		}
		for _, m := range p.ReserveMissing {
			if m.Need == need.ID {
				out[n] += m.Amount * need.ReserveMissingCost
			}
		}
	}
	return out
}
