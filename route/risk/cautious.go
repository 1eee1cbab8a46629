package risk

import (
	"context"
	"fmt"
	"slices"

	"hardtack/route/plan"
	"hardtack/route/underway"
)

// Cautious is the brief as a planner should see it that knows only certain
// things: an offer ahead costs what planning to buy there is expected to cost,
// the risk of not finding it and of having to go on to the next port counted,
// and stores must last on every arrival until enough ports have passed to
// count on them, by the chance allowed to the need's class. What going without
// such a reserve counts is what it would cost times the chance of needing it.
func Cautious(b plan.Brief, d Doubt) (plan.Brief, error) {
	if err := b.Check(); err != nil {
		return b, fmt.Errorf("plan with caution: %w", err)
	}
	if err := d.check(b); err != nil {
		return b, fmt.Errorf("plan with caution: %w", err)
	}
	f, err := newField(b, d, openShops(b), Careful)
	if err != nil {
		return b, fmt.Errorf("plan with caution: %w", err)
	}
	out := b
	out.Needs = slices.Clone(b.Needs)
	for n := range out.Needs {
		c := cautious{f, &f.needs[n], &out.Needs[n], b.Stops}
		c.prices()
		c.reserves(Allowed(d.Needs[n].Class))
	}
	return out, nil
}

// openShops is a plan with a way to the shops at every stop.
func openShops(b plan.Brief) (p plan.Plan) {
	for s := range b.Stops {
		p.Trips = append(p.Trips, plan.Trip{Stop: s, Count: 1})
	}
	return p
}

type cautious struct {
	*field
	need  *need
	brief *plan.Need
	stops []plan.Stop
}

// prices counts in what it costs to come in vain.
func (c *cautious) prices() {
	c.brief.Items = slices.Clone(c.brief.Items)
	for i := range c.brief.Items {
		it := &c.brief.Items[i]
		it.Offers = slices.Clone(it.Offers)
		for k := range it.Offers {
			o := &it.Offers[k]
			if o.Stop == 0 || o.Min > 0 {
				continue // in sight, or settled
			}
			per := o.Price / o.Pack
			found := c.need.items[i].doubt[o.Stop].Available
			vain := c.inVain(o.Stop)*it.Yield - it.TasteCost // per item-unit
			o.Price = (found*per + (1-found)*max(vain, per)) * o.Pack
		}
	}
}

// inVain is what a need-unit costs when a stop has nothing: what waiting for
// the ports after the next one is expected to cost.
func (c *cautious) inVain(stop int) float64 {
	next := c.need.seller[stop]
	if next >= len(c.stops) {
		return c.need.miss
	}
	return c.need.wait[stop][min(2*next+1, 2*len(c.stops)-2)]
}

// reserves asks for stores on every arrival that last until the stop by which
// the chance of having found nothing is at most allowed.
func (c *cautious) reserves(allowed float64) {
	if allowed >= 1 {
		return
	}
	c.brief.Reserve = slices.Clone(c.need.due)
	vain, sellers := 0.0, 0.0
	for leg := range c.brief.Reserve {
		stop := leg + 1
		if a := c.need.available(stop); a > 0 {
			vain, sellers = vain+1-a, sellers+1
		}
		until, use := c.need.lastUntil(c.field, stop, allowed), 0.0
		for q := 2 * stop; q < 2*until; q++ {
			use += c.use(q)
		}
		c.brief.Reserve[leg] = max(c.brief.Reserve[leg], use)
	}
	if sellers == 0 {
		return
	}
	dislike := 0.0
	for _, it := range c.brief.Items {
		dislike = max(dislike, it.TasteCost/it.Yield)
	}
	most := (c.need.miss - dislike) / float64(len(c.stops)-1) * (1 - 1e-9)
	c.brief.ReserveMissingCost = max(c.brief.ReserveMissingCost, min(vain/sellers*c.need.miss, most))
}

// use is a need's use in a period by the brief.
func (c *cautious) use(q int) float64 {
	s := c.stops[q/2]
	if q%2 == 0 {
		return c.need.in[q/2] * (s.Depart - s.Arrive)
	}
	return c.need.sea[q/2] * (c.stops[q/2+1].Arrive - s.Depart)
}

// Plan plans a brief with caution and says what the plan costs by the brief
// itself. bound is what no plan for the brief can cost less than, 0 when none
// is proven. Errors are those of Cautious and plan.Solve.
func Plan(ctx context.Context, b plan.Brief, d Doubt, budget plan.Budget, bound float64, better func(plan.Plan)) (plan.Plan, error) {
	shy, err := Cautious(b, d)
	if err != nil {
		return plan.Plan{}, err
	}
	p, err := plan.Solve(ctx, shy, budget, better)
	if err != nil {
		return plan.Plan{}, fmt.Errorf("plan with caution: %w", err)
	}
	return underway.Restate(b, p, bound)
}
