package main

import (
	"io"

	"hardtack/api"
)

type reportStandoutsCmd struct{}

// Help implements kong's HelpProvider.
func (reportStandoutsCmd) Help() string {
	return `Reporters who stand out from the others by a test that is wrong one time in
twenty, for a person to look at. Estimates have taken account of it already.

Example:
  hardtack report standouts`
}

// Run shows them.
func (reportStandoutsCmd) Run(sh *shell) error {
	return sh.service(func(s *api.Service) error {
		all, err := s.Standouts(sh.ctx)
		if err != nil {
			return err
		}
		return sh.emit(all, func(w io.Writer) error {
			p := printer{w: w}
			for _, x := range all {
				p.f("%s says %.2f times what one expects, in %d reports\n", x.Reporter, x.Times, x.Reports)
			}
			if len(all) == 0 {
				p.f("Nobody stands out.\n")
			}
			return p.err
		})
	})
}
