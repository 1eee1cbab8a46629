package main

import (
	"io"

	"hardtack/api"
)

type worthCmd struct {
	Item   string `arg:"" help:"Id of the item."`
	Voyage string `arg:"" optional:"" help:"The voyage; default the only one."`
	Stop   int    `help:"The stop you shop at, counted from 0." default:"0"`
}

// Help implements kong's HelpProvider.
func (worthCmd) Help() string {
	return `Says up to which price a thing is worth buying at a stop of the last plan rather
than waiting for the ports ahead, where it may be cheaper, dearer or not to be
had: for the next days, and for later ones as far as it keeps.

Example:
  hardtack worth rice_white --stop 0`
}

// Run tells the ladder.
func (c *worthCmd) Run(sh *shell) error {
	return sh.service(func(s *api.Service) error {
		id, err := sh.voyageOf(s, c.Voyage)
		if err != nil {
			return err
		}
		r, err := s.Worth(sh.ctx, id, c.Item, c.Stop)
		if err != nil {
			return err
		}
		return sh.emit(r, func(w io.Writer) error { return describeWorth(w, r) })
	})
}

func describeWorth(w io.Writer, r api.Worth) error {
	pr := &printer{w: w}
	pr.f("%s at %s", r.Name, r.Port)
	if r.Expected > 0 {
		pr.f(", expected at %.2f %s a %s", r.Expected, r.Currency, r.Unit)
	} else {
		pr.f(", not expected there")
	}
	pr.f(".\n")
	if len(r.Rungs) == 0 {
		pr.f("It does not keep until it would be eaten.\n")
	}
	for _, x := range r.Rungs {
		why := ""
		switch {
		case x.Without:
			why = ": nothing ahead serves that"
		case x.Must:
			why = ": too few ports before it to count on them"
		}
		pr.f("  up to %.2f take what is eaten %s to %s, %.3g %s%s\n", x.UpTo, x.FirstDay, x.LastDay, x.Amount, r.Unit, why)
	}
	pr.f("Room, weight and the way to the shop are not counted.\n")
	return pr.err
}
