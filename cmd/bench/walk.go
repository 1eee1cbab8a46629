package main

import (
	"context"
	"fmt"
	"os"
	"time"

	"hardtack/route/plan"
	"hardtack/route/risk"
)

type walkCmd struct {
	Size  string   `default:"season" help:"tiny, small, season or big."`
	First uint64   `default:"1" help:"First seed."`
	Seeds uint64   `default:"3" help:"How many seeds."`
	Room  string   `enum:"both,loose,tight" default:"loose" help:"both, loose or tight."`
	Brief []string `help:"Briefs from files, instead of random ones." placeholder:"FILE"`
	Walks int      `default:"2000" help:"Seasons walked."`
	Work  int      `default:"0" help:"Budget of each plan; 0 is the usual."`
}

// Run prints, for every brief, what the plain and the careful plan come to when
// the season is walked plainly, weighing the wait, and with care.
func (c *walkCmd) Run(ctx context.Context) error {
	briefs, names, err := c.briefs()
	if err != nil {
		return err
	}
	fmt.Println("| brief | plan | shopping | spent | 10 % | 90 % | short | in all | against plain | A, seasons | A, stays and legs | B | C | on no shelf | s computed | solves would take |")
	fmt.Println("|---|---|---|---|---|---|---|---|---|---|---|---|---|---|---|---|")
	for i, b := range briefs {
		if err := c.rows(ctx, names[i], b); err != nil {
			return fmt.Errorf("%s: %w", names[i], err)
		}
	}
	return nil
}

func (c *walkCmd) briefs() (briefs []plan.Brief, names []string, err error) {
	for _, name := range c.Brief {
		f, err := os.Open(name)
		if err != nil {
			return nil, nil, err
		}
		b, err := plan.ParseBrief(f)
		f.Close()
		if err != nil {
			return nil, nil, fmt.Errorf("%s: %w", name, err)
		}
		briefs, names = append(briefs, b), append(names, name)
	}
	if len(c.Brief) > 0 {
		return briefs, names, nil
	}
	list, err := chosen(c.Size, c.First, c.Seeds, c.Room)
	for _, o := range list {
		briefs, names = append(briefs, o.brief()), append(names, o.String())
	}
	return briefs, names, err
}

func (c *walkCmd) rows(ctx context.Context, name string, b plan.Brief) error {
	d, budget := risk.Usual(b), plan.Budget{Work: c.Work}
	began := clock()
	plain, err := plan.Solve(ctx, b, budget, nil)
	if err != nil {
		return err
	}
	solve := clock() - began
	careful, err := risk.Plan(ctx, b, d, budget, plain.Bound, nil)
	if err != nil {
		return err
	}
	choice, err := risk.Prefer(ctx, b, d, plain, careful)
	if err != nil {
		return err
	}
	if choice.Careful {
		name += ", careful chosen"
	} else {
		name += ", plain chosen"
	}
	var first *risk.Walked
	for _, p := range []struct {
		name string
		plan plan.Plan
	}{{"plain", plain}, {"careful", careful}} {
		for policy, how := range []string{"plainly", "weighing the wait", "with care"} {
			began := clock()
			w, err := risk.Walk(ctx, b, d, p.plan, risk.Options{Walks: c.Walks, Policy: risk.Policy(policy)})
			if err != nil {
				return err
			}
			if first == nil {
				first = w
			}
			row(name, p.name, how, w, risk.Compare(first, w), clock()-began, solve*time.Duration(c.Walks*(len(b.Stops)-1)))
		}
	}
	return nil
}

func row(brief, plan, how string, w *risk.Walked, d risk.Difference, took, solves time.Duration) {
	r := w.Report()
	most := 0.0 // of any class
	for _, c := range r.Periods {
		most = max(most, c.Bare)
	}
	fmt.Printf("| %s | %s | %s | %.0f | %.0f | %.0f | %.0f | %.0f | %+.0f ± %.0f | %.1f %% | %.2f %% | %.2f %% | %.2f %% | %.2f %% | %.1f | %.1f h |\n", brief, plan, how,
		r.Spent.Mean, r.Spent.P10, r.Spent.P90, r.Shortage.Mean, r.Total.Mean, d.Total.Mean, d.Total.Error,
		100*r.Classes["A"].Seen, 100*r.Periods["A"].Short, 100*r.Periods["B"].Short, 100*r.Periods["C"].Short, 100*most, took.Seconds(), solves.Hours())
}
