package main

import (
	"encoding/json"
	"io"

	"hardtack/api"
	"hardtack/route/plan"
)

type planCmd struct {
	Voyage string `arg:"" optional:"" help:"The voyage; default the only one."`

	Brief string `help:"Plan this brief, a JSON file, without any database; - is standard input." placeholder:"FILE"`
	Out   string `short:"o" help:"Also write the plan as JSON to this file." placeholder:"FILE"`
	Work  int    `help:"How long to search, in schedules tried; 0 is the usual few seconds." default:"0"`
	Seed  uint64 `help:"Of the random choices; the same seed gives the same plan." default:"0"`

	Careful bool `help:"Count in what may not be found ahead: buy what matters while it is to be had, where a season walked many times costs less so."`
}

// Help implements kong's HelpProvider.
func (planCmd) Help() string {
	return `Decides what to buy where, how much, and where to stow it. The plan is checked
before it is shown, and says what no plan could cost less than. Ctrl-C stops
looking: the best plan until then is kept and shown.

Example:
  hardtack plan --work 20000 -o plan.json`
}

// Run plans a brief, or a voyage of the database.
func (c *planCmd) Run(sh *shell) error {
	budget := plan.Budget{Seed: c.Seed, Work: c.Work}
	if c.Brief != "" {
		return c.file(sh, budget)
	}
	return sh.service(func(s *api.Service) error {
		id, err := sh.voyageOf(s, c.Voyage)
		if err != nil {
			return err
		}
		p, err := sh.planVoyage(s, id, api.PlanOptions{Budget: budget, Careful: c.Careful})
		if err != nil {
			return err
		}
		if err := c.keep(sh, p.Plan); err != nil {
			return err
		}
		if err := sh.emit(p.Plan, func(w io.Writer) error { return describePlan(w, p) }); err != nil {
			return err
		}
		return sh.stopped()
	})
}

func (c *planCmd) file(sh *shell, budget plan.Budget) error {
	b, err := sh.readBrief(c.Brief)
	if err != nil {
		return err
	}
	p, err := sh.solve(b, budget, c.Careful)
	if err != nil {
		return err
	}
	if err := c.keep(sh, p); err != nil {
		return err
	}
	if err := sh.emit(p, func(w io.Writer) error { return planOfBrief(w, b, p) }); err != nil {
		return err
	}
	return sh.stopped()
}

func (c *planCmd) keep(sh *shell, p plan.Plan) error {
	if c.Out == "" {
		return nil
	}
	return sh.to(c.Out, jsonOf(p))
}

// jsonOf writes v as JSON.
func jsonOf(v any) func(io.Writer) error {
	return func(w io.Writer) error {
		e := json.NewEncoder(w)
		e.SetIndent("", " ")
		return e.Encode(v)
	}
}
