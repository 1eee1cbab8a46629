package underway

import (
	"context"
	"fmt"
	"math"

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
	plan.Budget                 // of the search for the cheapest plan; most others have a quarter
	Better      func(plan.Plan) // told of better plans of that one; may be nil
}

// Replan plans a brief near what an accepted plan would buy: of the plans
// found within Within of the cheapest, the one that moves the least money.
// What must be bought stays bought and what is not offered is not. A ctx that
// ends gives the best so far. The error is that of b.Check.
func Replan(ctx context.Context, b plan.Brief, accepted []Order, o Options) (Steady, error) {
	if err := b.Check(); err != nil {
		return Steady{}, fmt.Errorf("plan anew: %w", err)
	}
	r := &replanner{ctx: ctx, brief: b, orders: accepted, budget: o.Budget.Part(b, 4)}
	if err := r.keep(r.budget); err != nil {
		return Steady{}, err
	}
	free, err := plan.SolveFrom(ctx, b, r.plans, o.Budget, o.Better)
	if err != nil {
		return Steady{}, fmt.Errorf("plan anew: %w", err)
	}
	r.bound = free.Bound
	r.add(free)
	if r.hopeful() {
		if err := r.keep(o.Budget); err != nil {
			return Steady{}, err
		}
	}
	if err := r.near(); err != nil {
		return Steady{}, err
	}
	return r.choose()
}

type replanner struct {
	ctx     context.Context
	brief   plan.Brief
	orders  []Order
	budget  plan.Budget // of most searches
	bound   float64
	plans   []plan.Plan
	kept    *plan.Cost
	keeping float64 // what keeping to the accepted purchases costs at least
}

// add takes a plan in by what it costs by the brief itself.
func (r *replanner) add(p plan.Plan) {
	p, err := Restate(r.brief, p, 0)
	if err == nil && plan.Verify(r.brief, p) == nil {
		r.plans = append(r.plans, p)
	}
}

// hopeful says whether a longer look may yet keep to the accepted purchases for what can
// be afforded: not where that is much dearer, or hardly above what it costs at least.
func (r *replanner) hopeful() bool {
	const hopeless = 0.05
	if r.stopped() || r.kept == nil || r.kept.Total <= r.most() {
		return false
	}
	return r.kept.Total <= r.most()*(1+hopeless) && r.most() >= (r.keeping+r.kept.Total)/2
}

// keep tries the accepted purchases as they are, from the plan that did so before.
func (r *replanner) keep(budget plan.Budget) error {
	exact := r.bend(func(o *plan.Offer, packs int) {
		o.Min = max(o.Min, packs)
		if most := max(packs, o.Min); o.Limit == nil || *o.Limit > most {
			o.Limit = &most
		}
	})
	p, err := plan.SolveFrom(r.ctx, exact, r.plans[:min(len(r.plans), 1)], budget, nil)
	if err != nil {
		return fmt.Errorf("keep to the accepted plan: %w", err)
	}
	r.keeping = max(r.keeping, p.Bound)
	before := len(r.plans)
	if r.add(p); len(r.plans) > before && (r.kept == nil || r.plans[before].Cost.Total < r.kept.Total) {
		r.kept = &r.plans[before].Cost
	}
	return nil
}

// bend is the brief with its offers changed by what is ordered of them.
func (r *replanner) bend(change func(o *plan.Offer, packs int)) plan.Brief {
	return r.brief.WithOffers(func(need, item string, o *plan.Offer) {
		change(o, r.ordered(need, item, *o))
	})
}

func (r *replanner) ordered(_, item string, o plan.Offer) int {
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

// most is what a plan may cost.
func (r *replanner) most() float64 { return r.best() * (1 + Within) }

func (r *replanner) choose() (Steady, error) {
	out := Steady{Best: r.best(), Kept: r.kept, Moved: math.Inf(1)}
	for _, p := range r.plans {
		if moved := Moved(r.brief, r.orders, p); p.Cost.Total <= r.most() && moved < out.Moved {
			out.Plan, out.Moved = p, moved
		}
	}
	var err error
	out.Plan, err = Restate(r.brief, out.Plan, r.bound)
	return out, err
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
