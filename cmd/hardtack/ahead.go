package main

import (
	"fmt"
	"io"

	"hardtack/api"
	"hardtack/pricing"
	"hardtack/route/ahead"
)

type aheadCmd struct {
	What   string `arg:"" help:"Id of an item, or of a need with --need."`
	Need   bool   `help:"Whatever serves the need."`
	From   int    `help:"Stop of the voyage to ask from, counted from 0." default:"0"`
	Voyage string `help:"Which voyage; default the only one." placeholder:"ID"`
}

// Help implements kong's HelpProvider.
func (aheadCmd) Help() string {
	return `Where a thing is sold on the rest of a voyage: price with its interval, how surely
it is found, how old the word is, and whether it would still keep. Cheapest first.

Example:
  hardtack ahead coffee_ground_vac --from 2`
}

// Run asks ahead.
func (c *aheadCmd) Run(sh *shell) error {
	return sh.service(func(s *api.Service) error {
		id, err := sh.voyageOf(s, c.Voyage)
		if err != nil {
			return err
		}
		v, err := s.Voyage(sh.ctx, id)
		if err != nil {
			return err
		}
		a, err := c.ask(sh, s, id)
		if err != nil {
			return err
		}
		return sh.emit(a, func(w io.Writer) error { return describeAhead(w, a, string(v.Value.Home)) })
	})
}

func (c *aheadCmd) ask(sh *shell, s *api.Service, voyage string) (ahead.Answer, error) {
	if c.Need {
		return s.AheadNeed(sh.ctx, voyage, c.What, c.From)
	}
	return s.AheadItem(sh.ctx, voyage, pricing.ItemID(c.What), c.From)
}

func describeAhead(w io.Writer, a ahead.Answer, home string) error {
	p := columns(w)
	p.f("Port\tItem\t%s per unit\t\tFound\tWord\tDays\tKeeps\tAgainst here\n", home)
	for _, x := range a.Here {
		p.f("%s (here)\t%s\t\n", x.Name, placeCells(x))
	}
	for _, x := range a.Ahead {
		saving := ""
		if x.Saving != 0 {
			saving = fmt.Sprintf("%+.0f %%", -100*x.Saving)
		}
		p.f("%s\t%s\t%s\n", x.Name, placeCells(x), saving)
	}
	if len(a.Here)+len(a.Ahead) == 0 {
		p.f("Nowhere ahead is it known to be sold.\n")
	}
	return p.end()
}

func placeCells(x ahead.Place) string {
	word := "guess"
	if !x.Guess && x.AgeDays >= 0 {
		word = fmt.Sprintf("%d days old", x.AgeDays)
	} else if !x.Guess {
		word = string(x.Basis)
	}
	keeps := fmt.Sprintf("%.0f days", x.KeepsDays)
	if !x.Keeps {
		keeps += ", too short"
	}
	return fmt.Sprintf("%s\t%.2f/%s\t%.2f–%.2f\t%.0f %%\t%s\t%.0f\t%s",
		x.ItemName, x.Price, x.Unit, x.Low80, x.High80, 100*x.Available, word, x.Days, keeps)
}
