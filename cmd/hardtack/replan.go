package main

import (
	"io"

	"hardtack/api"
	"hardtack/pricing/calendar"
	"hardtack/route/plan"
)

type replanCmd struct {
	Voyage string `arg:"" optional:"" help:"The voyage; default the only one."`

	Day       calendar.Day `help:"Plan from this day on; default today." placeholder:"DAY"`
	AsPlanned bool         `help:"Aboard is what the last plan would have, not what was counted."`
	Bought    bool         `help:"The shopping of the stop we lie at is done."`
	Lost      []string     `help:"A space that has failed, as fridge; what lies there goes elsewhere or is lost." placeholder:"SPACE"`
	Accept    bool         `help:"Keep the new plan as the one to go by."`
	Work      int          `help:"How long to search for the cheapest plan, in schedules tried; 0 is the usual half a minute of a season in all." default:"0"`
	Seed      uint64       `help:"Of the random choices." default:"0"`
}

// Help implements kong's HelpProvider.
func (replanCmd) Help() string {
	return `Plans the rest of a voyage from now on, with what is aboard, after a date, a
stop, the crew or the boat has changed or a count was made. Of plans about as
good the one nearest to the last plan is taken, and what changes in the lists is
said. Nothing is kept unless accepted.

Example:
  hardtack replan --as-planned --work 5000`
}

// Run plans anew and tells the difference.
func (c *replanCmd) Run(sh *shell) error {
	return sh.service(func(s *api.Service) error {
		id, err := sh.voyageOf(s, c.Voyage)
		if err != nil {
			return err
		}
		bar := sh.progress("planning")
		r, err := s.Replan(sh.ctx, id, api.ReplanOptions{Day: c.Day, AsPlanned: c.AsPlanned, Bought: c.Bought, Lost: c.Lost,
			Accept: c.Accept, Budget: plan.Budget{Seed: c.Seed, Work: c.Work}, Better: better(bar)})
		bar.done()
		if err != nil {
			return err
		}
		return sh.emit(r, func(w io.Writer) error { return describeReplan(w, r) })
	})
}

func describeReplan(w io.Writer, r api.Replanned) error {
	pr := &printer{w: w}
	describeDanger(pr, r.Planned)
	p := r.Planned.Plan
	pr.f("The rest of the season from %s: shopping %.0f %s, ways to the shops %.0f, going without %.0f, second choices and the bother of lines %.0f; in all it counts %.2f.\n",
		r.Planned.Notes.Start, p.Cost.Goods, p.Currency, p.Cost.Trips, p.Cost.Missing+p.Cost.ReserveMissing, p.Cost.Taste+p.Cost.Lines, p.Cost.Total)
	if n := len(r.Difference.Changes) + len(r.Difference.Gone); n > 0 {
		pr.f("%d lines change, purchases for %.0f %s (%.0f %%).\n", n, r.Difference.Moved, p.Currency, 100*r.Difference.Share)
	}
	pr.f("\n")
	for _, x := range r.Difference.Words {
		pr.f("%s\n", x)
	}
	if r.Accepted {
		pr.f("\nThis is the plan to go by now.\n")
		return pr.err
	}
	pr.f("\nNothing was kept: add --accept to go by it.\n")
	return pr.err
}
