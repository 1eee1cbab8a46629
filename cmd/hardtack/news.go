package main

import (
	"io"

	"hardtack/api"
	"hardtack/pricing"
	"hardtack/pricing/calendar"
)

type newsCmd struct {
	Since calendar.Day     `required:"" help:"The day you were last in touch." placeholder:"DAY"`
	Port  []pricing.PortID `help:"Of these ports only." placeholder:"ID"`
	Item  []pricing.ItemID `help:"Of these items only." placeholder:"ID"`
	N     int              `short:"n" help:"At most so many." default:"20"`
}

// Help implements kong's HelpProvider.
func (newsCmd) Help() string {
	return `Says which prices are believed otherwise by now, from reports since a day: what
came in while you were at sea.

Example:
  hardtack news --since 2026-08-01`
}

// Run says what changed.
func (c *newsCmd) Run(sh *shell) error {
	return sh.service(func(s *api.Service) error {
		currency, all, err := s.News(sh.ctx, c.Since, c.Port, c.Item, max(0, c.N))
		if err != nil {
			return err
		}
		return sh.emit(all, func(w io.Writer) error {
			p := columns(w)
			for _, x := range all {
				p.f("%s\t%s\t%+.0f %%\t%.2f %s\tit was %.2f\n", x.Port, x.Item, 100*x.Share, x.Now.Price, currency, x.Before.Price)
			}
			if len(all) == 0 {
				p.f("No price is believed otherwise than on %s.\n", c.Since)
			}
			return p.end()
		})
	})
}
