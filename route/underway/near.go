package underway

import (
	"cmp"
	"fmt"
	"slices"

	"hardtack/route/plan"
)

// near looks for a plan near the accepted purchases that can be afforded, unless those
// can be kept to. What each need does comes from plans that keep to them, hold to them
// at least, or leave them where that saves, each drawn nearer or made cheaper.
func (r *replanner) near(free plan.Plan) error {
	if r.kept != nil && r.kept.Total <= r.most() {
		return nil
	}
	if err := r.hold(); err != nil {
		return err
	}
	for _, p := range slices.Clone(r.plans) {
		if _, err := r.draw(p); err != nil {
			return err
		}
	}
	// Where money that moves counts once, a mix costs no more than may be spent; where it
	// counts more, one is nearer, and some needs are let go.
	once := r.best() * Within / max(Moved(r.brief, r.orders, free), r.best()*Within)
	var nearer *plan.Plan
	for times := 8.0; times >= 1; times /= 1.5 {
		p, err := r.mix(r.plans, times*once, nil)
		if err != nil {
			return err
		}
		if p.Cost.Total <= r.most() {
			if _, err := r.draw(p); err != nil {
				return err
			}
			break
		}
		nearer = &p
	}
	if nearer == nil {
		return nil
	}
	return r.letGo(*nearer, free, once)
}

// letGo lets ever more needs of a plan go, the dearest first, until it can be afforded.
func (r *replanner) letGo(p, cheapest plan.Plan, lean float64) error {
	dearest := r.dearest(p, cheapest)
	for let := 1; ; let *= 2 {
		drawn, err := r.draw(p)
		if err != nil || drawn.Cost.Total <= r.most() || let >= 2*len(dearest) {
			return err
		}
		if p, err = r.mix(append([]plan.Plan{p}, r.plans...), lean, dearest[:min(let, len(dearest))]); err != nil {
			return err
		}
	}
}

// aside is by how much offers the accepted plan leaves alone are made dearer,
// so that it is not left for pennies.
const aside = 0.05

// hold plans with at least the accepted purchases.
func (r *replanner) hold() error {
	p, err := plan.Solve(r.ctx, r.bend(func(o *plan.Offer, packs int) {
		if o.Min = max(o.Min, packs); packs == 0 {
			o.Price *= 1 + aside
		}
	}), r.budget, nil)
	if err != nil {
		return fmt.Errorf("hold to the accepted plan: %w", err)
	}
	r.add(p)
	return nil
}

// draw brings a plan to what can be afforded, and then as near as can be afforded.
func (r *replanner) draw(p plan.Plan) (plan.Plan, error) {
	p, err := plan.Toward(r.ctx, r.brief, p, r.ordered, r.most())
	if err != nil {
		return p, fmt.Errorf("draw to the accepted plan: %w", err)
	}
	r.add(p)
	return p, nil
}

// mix picks among what needs do in some plans, for needs let go, nil being all; the others
// do what they do in the first.
func (r *replanner) mix(plans []plan.Plan, lean float64, let []string) (plan.Plan, error) {
	p, err := plan.Among(r.ctx, r.brief, plans, r.ordered, lean, func(need string) bool { return let == nil || slices.Contains(let, need) })
	if err != nil {
		return p, fmt.Errorf("mix plans: %w", err)
	}
	r.add(p)
	return p, nil
}

// dearest lists needs by how much more they cost in a plan than in the cheapest one.
func (r *replanner) dearest(p, cheapest plan.Plan) []string {
	type excess struct {
		need string
		cost float64
	}
	list := make([]excess, len(r.brief.Needs))
	least := needCosts(r.brief, cheapest)
	for n, cost := range needCosts(r.brief, p) {
		list[n] = excess{r.brief.Needs[n].ID, cost - least[n]}
	}
	slices.SortStableFunc(list, func(x, y excess) int { return cmp.Compare(y.cost, x.cost) })
	ids := make([]string, len(list))
	for k, x := range list {
		ids[k] = x.need
	}
	return ids
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
