package underway

import (
	"fmt"
	"math"

	"hardtack/route/plan"
)

// near looks for a plan near the accepted purchases that can be afforded, unless those
// can be kept to: from plans that keep to them, hold to them at least, or leave them
// where that saves, by picking among what needs do in them and by searches, in both of
// which money that moves counts beside cost.
func (r *replanner) near() error {
	if r.stopped() || r.kept != nil && r.kept.Total <= r.most() {
		return nil
	}
	if err := r.hold(); err != nil {
		return err
	}
	lean, err := r.mix()
	if err != nil {
		return err
	}
	if err := r.weigh(2 * lean); err != nil {
		return err
	}
	_, err = r.mix()
	return err
}

// stopped says whether what was found has to do.
func (r *replanner) stopped() bool { return r.ctx.Err() != nil }

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
func (r *replanner) draw(p plan.Plan) error {
	p, err := plan.Toward(r.ctx, r.brief, p, r.ordered, r.most())
	if err != nil {
		return fmt.Errorf("draw to the accepted plan: %w", err)
	}
	r.add(p)
	return nil
}

// Counted for less than leastLean, money that moves hardly counts; for more than
// mostMixed or, in a search, where no price may fall to nothing, mostLean, no other
// plan is nearer.
const leastLean, mostMixed, mostLean = 1e-3, 8.0, 0.95

// mix picks among what needs do in all plans with money that moves counted for as much
// as can be afforded, and says how much that is.
func (r *replanner) mix() (lean float64, err error) {
	const steps = 8
	var nearest *plan.Plan
	lean, dear := leastLean, mostMixed
	for k := 0; k < steps && !r.stopped(); k++ {
		at := math.Sqrt(lean * dear)
		p, err := plan.Among(r.ctx, r.brief, r.plans, r.ordered, at)
		if err != nil {
			return 0, fmt.Errorf("mix plans: %w", err)
		}
		if p.Cost.Total > r.most() {
			dear = at
			continue
		}
		lean, nearest = at, &p
	}
	if nearest == nil {
		return lean, nil
	}
	r.add(*nearest)
	return lean, r.draw(*nearest)
}

// weigh searches a few times with money that moves counted for so much, and for more or
// less when what is found can or cannot be afforded.
func (r *replanner) weigh(lean float64) error {
	const searches, times = 3, 3.0
	at, affordable, dear := min(lean, mostLean), 0.0, 0.0
	for k := 0; k < searches && !r.stopped(); k++ {
		p, err := plan.Lean(r.ctx, r.brief, r.plans, r.ordered, at, r.budget)
		if err != nil {
			return fmt.Errorf("lean to the accepted plan: %w", err)
		}
		r.add(p)
		if err := r.draw(p); err != nil {
			return err
		}
		if p.Cost.Total <= r.most() {
			affordable = at
		} else {
			dear = at
		}
		switch {
		case affordable == mostLean:
			return nil
		case dear == 0:
			at = min(mostLean, times*at)
		case affordable == 0:
			at /= times
		default:
			at = math.Sqrt(affordable * dear)
		}
	}
	return nil
}
