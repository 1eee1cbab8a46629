package main

import (
	"hardtack/api"
	"hardtack/pricing/calendar"
)

type aboardArriveCmd struct {
	To     string       `help:"The port of arrival; default the voyage's next." placeholder:"PORT"`
	From   string       `help:"The port sailed from." placeholder:"PORT"`
	On     calendar.Day `help:"The day of arrival." placeholder:"DAY"`
	Voyage string       `help:"Which voyage; default the only one." placeholder:"ID"`
	Crew   string       `help:"Who is aboard; default the only crew." placeholder:"ID"`
}

// Run prints the list for the officer and what to eat down.
func (x *aboardArriveCmd) Run(c *cli, sh *shell) error {
	return sh.aboard(c, func(s *api.Service, id string) error {
		l, err := s.Arrival(sh.ctx, id, api.Crossing{From: x.From, To: x.To, Arrive: x.On, Voyage: x.Voyage, Crew: x.Crew})
		if err != nil {
			return err
		}
		return sh.emit(l, l.Text)
	})
}
