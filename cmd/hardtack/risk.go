package main

import (
	"cmp"
	"fmt"
	"io"
	"slices"
	"strings"
	"text/tabwriter"

	"hardtack/api"
	"hardtack/pricing/item"
	"hardtack/route/chance"
	"hardtack/route/plan"
	"hardtack/route/risk"
)

type riskCmd struct {
	Voyage string `arg:"" optional:"" help:"The voyage; default the only one."`

	Walks    int       `help:"How many seasons to walk." default:"2000"`
	Seed     uint64    `help:"Of the weather, prices and shelves met; the same seed meets the same." default:"0"`
	Plainly  bool      `help:"Shop as if every price and shelf ahead were as estimated."`
	Remedies int       `help:"Look for single purchases against the so many needs that fare worst; 0 for none." default:"3"`
	Chance   []float64 `help:"Find reserves that last each leg with this chance, as 0.95; may be given several times." placeholder:"P"`
	Wish     float64   `help:"Find the cheapest reserve by which a thing lasts through a stay or leg with this chance, as 0.98." placeholder:"P"`
	Brief    string    `help:"Walk this brief, a JSON file, with usual doubts, without any database." placeholder:"FILE"`
	Plan     string    `help:"The plan of that brief, a JSON file." placeholder:"FILE"`
}

// Help implements kong's HelpProvider.
func (riskCmd) Help() string {
	return `Walks the season of a voyage's last plan many times, with passages longer and
shorter, prices higher and lower, shelves empty, appetites and spoilage as they
may turn out, shopping anew at every stop with what is then aboard. Says what
runs short how often and on which leg, what is spent, and which single purchase
would lower the risk most for its money. With a wish it says how many days of
reserve each kind of thing is to have on arrivals, and what that costs.

Example:
  hardtack risk --walks 200 --remedies 0 --wish 0.95`
}

// Run walks and tells.
func (c *riskCmd) Run(sh *shell) error {
	o := api.RiskOptions{Walks: c.Walks, Seed: c.Seed, Plainly: c.Plainly, Remedies: c.Remedies, Chances: c.Chance, Wish: c.Wish}
	if c.Brief != "" || c.Plan != "" {
		return c.files(sh, o)
	}
	return sh.service(func(s *api.Service) error {
		id, err := sh.voyageOf(s, c.Voyage)
		if err != nil {
			return err
		}
		kept, err := s.LastPlan(sh.ctx, id)
		if err != nil {
			return err
		}
		r, err := s.Risk(sh.ctx, id, o)
		if err != nil {
			return err
		}
		p := kept.Value
		by := called{
			need: func(id string) string { n, _ := p.Notes.Need(id); return cmp.Or(n.Name, id) },
			item: func(id string) string { n, _ := p.Notes.Item(id); return cmp.Or(n.Name, id) },
			stop: func(s int) string { return p.Notes.Stops[s].Name },
		}
		return sh.emit(r, func(w io.Writer) error { return describeRisk(w, r, by) })
	})
}

func (c *riskCmd) files(sh *shell, o api.RiskOptions) error {
	if c.Brief == "" || c.Plan == "" {
		return fmt.Errorf("%w: --brief and --plan belong together", errUsage)
	}
	b, err := sh.readBrief(c.Brief)
	if err != nil {
		return err
	}
	p, err := sh.readPlan(c.Plan)
	if err != nil {
		return err
	}
	if err := plan.Verify(b, p); err != nil {
		return fmt.Errorf("%s: %w: %w", c.Plan, errBroken, err)
	}
	r, err := api.RiskOf(sh.ctx, b, risk.Usual(b), p, o)
	if err != nil {
		return err
	}
	id := func(id string) string { return id }
	return sh.emit(r, func(w io.Writer) error {
		return describeRisk(w, r, called{need: id, item: id, stop: func(s int) string { return b.Stops[s].Port }})
	})
}

// called is what people call the ids of a brief.
type called struct {
	need, item func(string) string
	stop       func(int) string
}

func describeRisk(w io.Writer, r api.Risky, c called) error {
	pr := &printer{w: w}
	pr.f("%d seasons walked. Spent on goods and ways to the shops: one in ten below %.0f, half below %.0f, nine in ten below %.0f %s.\n",
		r.Report.Walks, r.Report.Spent.P10, r.Report.Spent.P50, r.Report.Spent.P90, r.Currency)
	describeClasses(pr, r.Report)
	pr.f("Minding what may not be found ahead spends %+.0f %s and saves %.0f of what going without counts.\n\n",
		r.Caution.Spent.Mean, r.Currency, -r.Caution.Shortage.Mean)
	describeShort(pr, r.Report, c)
	for _, x := range r.Remedies {
		pr.f("\n%d × %s more at %s: %+.2f %s spent, %s runs short in %.1f instead of %.1f %% of seasons", x.Packs, c.item(x.Item),
			c.stop(x.Stop), x.Spent.Mean, r.Currency, strings.ToLower(c.need(x.Need)), 100*x.After, 100*x.Before)
		if x.Gain > 0 {
			pr.f("; %.1f of shortage avoided per %s", x.Gain, r.Currency)
		}
		pr.f(".")
	}
	for _, m := range r.Reserves {
		pr.f("\nReserves for a chance of %.1f %% on each leg: %.1f %% of legs reached with enough, half the seasons spend below %.0f %s.",
			100*m.Wished, 100*m.Reached, m.Spent.P50, r.Currency)
	}
	if r.Keeping != nil {
		describeKeeping(pr, *r.Keeping, r.Currency)
	}
	pr.f("\nEven so a season may turn out worse; water and medicine are no matter of averages: see how long they last in the plan.\n")
	return pr.err
}

// classKinds are the classes of things in words.
func classKinds() []classKind {
	return []classKind{{item.Safety, "water, gas or another thing of safety"}, {item.Staple, "a staple"}, {item.Comfort, "a comfort"}, {item.Luxury, "a luxury"}}
}

type classKind struct {
	class item.Necessity
	name  string
}

func describeKeeping(pr *printer, k risk.Keeping, currency string) {
	pr.f("\n\nThat a thing lasts through a stay or leg in %.1f %% of cases takes this reserve on arrivals:\n", 100*k.Wished)
	for _, c := range k.Classes {
		i := slices.IndexFunc(classKinds(), func(x classKind) bool { return x.class == c.Class })
		pr.f("  %s: %.0f days of use; lasts in %.2f %%, with the plan's own reserve in %.2f %%", classKinds()[i].name, c.Days, 100*c.Reached, 100*c.Before)
		if !c.Met {
			pr.f("; no reserve looked at reaches the wish: in %.2f %% no shop passed had it, else room and keeping forbid", 100*c.Bare)
		}
		pr.f("\n")
	}
	pr.f("It spends %+.0f ± %.0f %s a season, and what going without counts changes by %+.0f ± %.0f.",
		k.Spent.Mean, k.Spent.Error, currency, k.Missing.Mean, k.Missing.Error)
}

func describeClasses(pr *printer, r risk.Report) {
	var parts, periods []string
	for _, k := range classKinds() {
		if x, ok := r.Classes[k.class]; ok {
			parts = append(parts, fmt.Sprintf("%s in %s", k.name, percent(x)))
			p := r.Periods[k.class]
			periods = append(periods, fmt.Sprintf("%s in %.2f %% (%.2f %% what no shop passed had)", k.name, 100*p.Short, 100*p.Bare))
		}
	}
	pr.f("Somewhere in the season runs short: %s of seasons.\n", strings.Join(parts, ", "))
	pr.f("Of all stays and legs a thing is used in, it runs short: %s.\n", strings.Join(periods, ", "))
}

// percent is a share with its 95 % limits.
func percent(x chance.Share) string {
	return fmt.Sprintf("%.1f %% (%.1f–%.1f)", 100*x.Seen, 100*x.Low, 100*x.High)
}

// worstNeeds is how many needs are told of.
const worstNeeds = 12

func describeShort(pr *printer, r risk.Report, c called) {
	worst := slices.Clone(r.Needs)
	slices.SortStableFunc(worst, func(x, y risk.NeedRisk) int { return cmp.Compare(y.Cost, x.Cost) })
	t := tabwriter.NewWriter(pr.w, 0, 0, 2, ' ', 0)
	row := func(format string, a ...any) { fmt.Fprintf(t, format, a...) }
	row("Runs short\tof seasons (95 %%)\tmost often\n")
	for _, n := range worst[:min(worstNeeds, len(worst))] {
		if n.Short.Seen == 0 {
			continue
		}
		at := slices.MaxFunc(n.Periods, func(x, y risk.PeriodRisk) int { return cmp.Compare(x.Short.Seen, y.Short.Seen) })
		where := "at " + c.stop(at.Stop)
		if at.Leg {
			where = c.stop(at.Stop) + " to " + c.stop(at.Stop+1)
		}
		row("%s\t%s\t%s, %.1f %%\n", c.need(n.Need), percent(n.Short), where, 100*at.Short.Seen)
	}
	if err := t.Flush(); pr.err == nil {
		pr.err = err
	}
}
