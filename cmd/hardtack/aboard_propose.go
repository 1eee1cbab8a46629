package main

import (
	"io"

	"hardtack/api"
	"hardtack/pricing/item"
	"hardtack/pricing/measure"
	"hardtack/route/inventory"
)

type aboardStowCmd struct {
	Stop   int    `arg:"" optional:"" help:"Stop of the plan, counted from 0; default the first."`
	Voyage string `help:"Which voyage; default the only one." placeholder:"ID"`
}

// Run proposes lockers for what the plan buys at a stop.
func (x *aboardStowCmd) Run(c *cli, sh *shell) error {
	return sh.aboard(c, func(s *api.Service, id string) error {
		p, err := s.Stow(sh.ctx, id, x.Voyage, x.Stop)
		if err != nil {
			return err
		}
		return sh.emit(p, func(w io.Writer) error { return describeProposal(w, p, s.World().Catalogue) })
	})
}

func describeProposal(w io.Writer, x inventory.Proposal, cat *item.Catalogue) error {
	p := columns(w)
	locker := ""
	for _, y := range x.Placed {
		if y.Locker != locker {
			locker = y.Locker
			p.f("%s, the bottom first:\n", locker)
		}
		p.f("  %s\t%s\t%s\n", y.Name, measure.Of(y.Amount).Format(cat.Items[y.Item].Unit), y.Why)
	}
	if len(x.Homeless) > 0 {
		p.f("Without a locker:\n")
	}
	for _, y := range x.Homeless {
		p.f("  %s\t%s\t%s\n", y.Name, measure.Of(y.Amount).Format(cat.Items[y.Item].Unit), y.Why)
	}
	p.f("To port %.0f kg, to starboard %.0f kg.\n", x.PortKg, x.StarboardKg)
	for _, y := range x.Said {
		p.f("%s\n", y)
	}
	return p.end()
}
