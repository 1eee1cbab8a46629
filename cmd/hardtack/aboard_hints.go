package main

import (
	"cmp"
	"io"

	"hardtack/api"
)

type aboardHintsCmd struct {
	Stop   int    `arg:"" optional:"" help:"Number of the stop, counted from 0."`
	Voyage string `help:"Which voyage; default the only one." placeholder:"ID"`
}

// Run says what the log has to say before the shopping.
func (x *aboardHintsCmd) Run(c *cli, sh *shell) error {
	return sh.aboard(c, func(s *api.Service, id string) error {
		hints, err := s.Hints(sh.ctx, id, x.Voyage, x.Stop)
		if err != nil {
			return err
		}
		return sh.emit(hints, func(w io.Writer) error {
			p := printer{w: w}
			if len(hints) == 0 {
				p.f("The log has nothing to say of this stop.\n")
			}
			for _, h := range hints {
				p.f("%s, %s (%s): %s\n", h.Kind, cmp.Or(string(h.Item), h.Place), h.Day, cmp.Or(h.Note, "seen"))
			}
			return p.err
		})
	})
}
