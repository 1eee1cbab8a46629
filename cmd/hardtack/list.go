package main

import (
	"hardtack/api"
	"hardtack/route/shopping"
)

type listCmd struct {
	Voyage string `arg:"" optional:"" help:"The voyage; default the only one."`
	Stop   int    `help:"One stop only, counted from 0." default:"-1"`
	HTML   string `name:"html" help:"Write one self-contained page for the phone." placeholder:"FILE"`
	Why    bool   `help:"Instead say of each line why it is bought there, and no more of it."`
	Out    string `short:"o" help:"Write the printed lists here; default standard output." placeholder:"FILE"`
}

// Help implements kong's HelpProvider.
func (listCmd) Help() string {
	return `The shopping lists of a voyage's last plan: packs, prices, cash, where to stow,
what to look for, and what to eat before the next border.

Example:
  hardtack list --stop 0`
}

// Run prints the lists.
func (c *listCmd) Run(sh *shell) error {
	return sh.service(func(s *api.Service) error {
		id, err := sh.voyageOf(s, c.Voyage)
		if err != nil {
			return err
		}
		lists, err := s.List(sh.ctx, id, c.Stop)
		if err != nil {
			return err
		}
		return c.write(sh, lists)
	})
}

func (c *listCmd) write(sh *shell, lists shopping.Lists) error {
	if c.HTML != "" {
		if err := sh.to(c.HTML, lists.WriteHTML); err != nil {
			return err
		}
		if c.Out == "" && !sh.json {
			sh.say("%s: copy it to the phone; it needs no signal.", c.HTML)
			return nil
		}
	}
	if sh.json {
		return sh.to(c.Out, jsonOf(lists))
	}
	if c.Why {
		return sh.to(c.Out, lists.WriteWhy)
	}
	return sh.to(c.Out, lists.WriteText)
}
