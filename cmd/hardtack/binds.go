package main

import (
	"io"

	"hardtack/api"
	"hardtack/route/plan"
)

type bindsCmd struct {
	Voyage string `arg:"" optional:"" help:"The voyage; default the only one."`
	Work   int    `help:"How long to search each time, in schedules tried; 0 is the usual second or so." default:"0"`
	Seed   uint64 `help:"Of the random choices." default:"0"`
}

// Help implements kong's HelpProvider.
func (bindsCmd) Help() string {
	return `Says what limits the last plan: which spaces, the payload, what is carried, the
reserves; and what one more litre, kilogram or day would save over the season.
Each is found by planning again with it; that takes a few seconds a space.

Example:
  hardtack binds --work 3000`
}

// Run tells what binds.
func (c *bindsCmd) Run(sh *shell) error {
	return sh.service(func(s *api.Service) error {
		id, err := sh.voyageOf(s, c.Voyage)
		if err != nil {
			return err
		}
		bar := sh.progress("planning again with one more of each")
		x, err := s.Binds(sh.ctx, id, plan.Budget{Seed: c.Seed, Work: c.Work})
		bar.done()
		if err != nil {
			return err
		}
		return sh.emit(x, func(w io.Writer) error {
			pr := &printer{w: w}
			for _, b := range x.Binds {
				pr.f("%s.\n", b.Told)
			}
			if len(x.Binds) == 0 {
				pr.f("Nothing limits this plan by much: one more of any space, weight or day saves nothing that was found.\n")
			}
			return pr.err
		})
	})
}
