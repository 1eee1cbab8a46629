package main

import (
	"io"

	"hardtack/api"
	"hardtack/pricing/calendar"
	"hardtack/route/keeping"
)

// place is where the boat is, as flags.
type place struct {
	Port   string       `help:"The port the boat is near; default where the voyage has it." placeholder:"PORT"`
	Voyage string       `help:"Which voyage; default the only one." placeholder:"ID"`
	Day    calendar.Day `help:"The day; default today." placeholder:"DAY"`
}

func (p place) where() api.Where { return api.Where{Day: p.Day, Port: p.Port, Voyage: p.Voyage} }

type aboardFirstCmd struct {
	place
	Days float64 `default:"4" help:"How far to look ahead."`
	Crew string  `help:"Who eats; default the only crew." placeholder:"ID"`
}

// Run says what to eat first.
func (x *aboardFirstCmd) Run(c *cli, sh *shell) error {
	return sh.aboard(c, func(s *api.Service, id string) error {
		due, err := s.UseFirst(sh.ctx, id, x.Crew, x.where(), x.Days)
		if err != nil {
			return err
		}
		return sh.emit(due, func(w io.Writer) error {
			p := printer{w: w}
			if len(due) == 0 {
				p.f("Nothing presses.\n")
			}
			for _, d := range due {
				p.f("%s, %s in %s: %s.\n", d.Name, d.Lot.Quantity.Format(d.Unit), d.Place, d.Reason)
				if !d.Cook.IsZero() {
					p.f("    %s.\n", d.Cook)
				}
				if !d.Caution.IsZero() && d.Caution.Key != keeping.Caution.Key {
					p.f("    %s\n", d.Caution)
				}
			}
			p.f("%s\n", keeping.Caution)
			return p.err
		})
	})
}

type aboardFridgeCmd struct {
	place
	Hours float64 `arg:"" optional:"" help:"Hours without power so far."`
}

// Run says what to rescue first when the cold has failed.
func (x *aboardFridgeCmd) Run(c *cli, sh *shell) error {
	return sh.aboard(c, func(s *api.Service, id string) error {
		order, err := s.FridgeOff(sh.ctx, id, x.where(), x.Hours)
		if err != nil {
			return err
		}
		return sh.emit(order, func(w io.Writer) error {
			p := printer{w: w}
			p.f("%s\n", keeping.Caution)
			if len(order) == 0 {
				p.f("Nothing is in the fridge or freezer by the book.\n")
			}
			for _, r := range order {
				p.f("%s, %s: %s.\n", r.Name, r.Amount.Format(r.Unit), r.Do)
			}
			return p.err
		})
	})
}
