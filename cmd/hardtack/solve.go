package main

import (
	"context"
	"fmt"
	"io"
	"time"

	"hardtack/api"
	"hardtack/route/plan"
	"hardtack/route/risk"
)

// solve plans a brief and has the plan checked by the referee before anybody
// sees it.
func (sh *shell) solve(b plan.Brief, budget plan.Budget, careful bool) (plan.Plan, error) {
	bar := sh.progress("planning")
	defer bar.done()
	p, err := plan.Solve(sh.ctx, b, budget, better(bar))
	if err == nil && careful {
		p, err = sh.careful(b, p, budget)
	}
	if err != nil {
		return plan.Plan{}, err
	}
	if err := plan.Verify(b, p); err != nil {
		return plan.Plan{}, fmt.Errorf("the planner made a plan that breaks the rules; please report this with the brief: %w", err)
	}
	return p, nil
}

// careful plans a brief with caution, and keeps to the plain plan where that
// does not pay.
func (sh *shell) careful(b plan.Brief, plain plan.Plan, budget plan.Budget) (plan.Plan, error) {
	d := risk.Usual(b)
	p, err := risk.Plan(sh.ctx, b, d, budget, plain.Bound, nil)
	if err != nil {
		return p, err
	}
	c, err := risk.Prefer(sh.ctx, b, d, plain, p)
	return c.Plan, err
}

// planVoyage plans a voyage of the database, which keeps the plan. Stopped from
// the keyboard it keeps the best plan found until then.
func (sh *shell) planVoyage(s *api.Service, voyage string, o api.PlanOptions) (api.Planned, error) {
	bar := sh.progress("planning")
	defer bar.done()
	began := time.Now() // the service's own clock may stand still
	o.Better = better(bar)
	o.Stop = sh.ctx.Done()
	if begun := o.Begun; begun != nil {
		o.Begun = func(p api.Planned) {
			bar.line(func() {
				sh.say("A first plan after %.1f s counts %.2f %s, %s. The cheapest plain habit would cost %.0f more. Still looking for a better one.",
					time.Since(began).Seconds(), p.Plan.Cost.Total, p.Plan.Currency, proven(p.Plan), p.Saves())
			})
			begun(p)
		}
	}
	kept, err := s.Plan(context.WithoutCancel(sh.ctx), voyage, o)
	kept.Value.Seconds = time.Since(began).Seconds()
	return kept.Value, err
}

// stopped tells that what was shown is less than what was asked for.
func (sh *shell) stopped() error {
	if err := sh.ctx.Err(); err != nil {
		return fmt.Errorf("%w: this is the best plan found until then", err)
	}
	return nil
}

func better(bar progress) func(plan.Plan) {
	return func(p plan.Plan) {
		bar.say(fmt.Sprintf("planning: %.2f %s, %s", p.Cost.Total, p.Currency, proven(p)))
	}
}

func proven(p plan.Plan) string {
	if p.Bound <= 0 {
		return "nothing proven yet"
	}
	return fmt.Sprintf("within %.1f %% of the best", 100*p.Gap)
}

// planOfBrief says what a plan without notes can say of itself.
func planOfBrief(w io.Writer, b plan.Brief, p plan.Plan) error {
	pr := printer{w: w}
	pr.f("%s\n", costLine(p))
	for s, stop := range b.Stops {
		buys := purchasesAt(p, s)
		if len(buys) == 0 {
			continue
		}
		pr.f("\n%d  %s, day %g to %g, %d trips\n", s, stop.Port, stop.Arrive, stop.Depart, tripsAt(p, s))
		for _, x := range buys {
			pr.f("   %4d × %-8.4g %-32s %10.2f%s\n", x.Packs, x.Pack, x.Item, float64(x.Packs)*x.Price, stowed(x))
		}
	}
	for _, x := range p.Warnings {
		pr.f("\nWarning: %s", x)
	}
	for _, x := range p.Unreachable {
		pr.f("\nOut of reach: %.3g of %s in %s\n", x.Amount, x.Need, x.Period)
	}
	return pr.err
}

func costLine(p plan.Plan) string {
	c := p.Cost
	return fmt.Sprintf("Total %.2f %s: goods %.2f, trips %.2f, lines %.2f, taste %.2f, going without %.2f, reserves lacking %.2f.\n"+
		"No plan can cost less than %.2f: this one is within %.2f %%.",
		c.Total, p.Currency, c.Goods, c.Trips, c.Lines, c.Taste, c.Missing, c.ReserveMissing, p.Bound, 100*p.Gap)
}

func purchasesAt(p plan.Plan, stop int) []plan.Purchase {
	var out []plan.Purchase
	for _, x := range p.Purchases {
		if x.Stop == stop && x.Packs > 0 {
			out = append(out, x)
		}
	}
	return out
}

func tripsAt(p plan.Plan, stop int) int {
	for _, t := range p.Trips {
		if t.Stop == stop {
			return t.Count
		}
	}
	return 0
}

func stowed(x plan.Purchase) string {
	out := ""
	for _, s := range x.Stowed {
		out += fmt.Sprintf("  %s %.4g", s.Space, s.Amount)
	}
	return out
}
