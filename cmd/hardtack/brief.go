package main

import (
	"io"

	"hardtack/api"
)

type briefCmd struct {
	Voyage string `arg:"" optional:"" help:"The voyage; default the only one."`
	Notes  bool   `help:"Print what the brief assumes, in words, instead."`
	Out    string `short:"o" help:"File to write; default standard output." placeholder:"FILE"`
}

// Help implements kong's HelpProvider.
func (briefCmd) Help() string {
	return `Prints everything the planner may know of a voyage, as JSON. It can be saved,
mailed and planned again anywhere with "hardtack plan --brief".

Example:
  hardtack brief -o brief.json`
}

// Run prints the brief.
func (c *briefCmd) Run(sh *shell) error {
	return sh.service(func(s *api.Service) error {
		id, err := sh.voyageOf(s, c.Voyage)
		if err != nil {
			return err
		}
		b, err := s.Brief(sh.ctx, id)
		if err != nil {
			return err
		}
		switch {
		case c.Notes && sh.json:
			return sh.to(c.Out, jsonOf(b.Notes))
		case c.Notes:
			return sh.to(c.Out, func(w io.Writer) error {
				p := printer{w: w}
				for _, x := range b.Notes.Said {
					p.f("- %s\n", x)
				}
				return p.err
			})
		}
		return sh.to(c.Out, jsonOf(b.Brief))
	})
}
