package main

import (
	"io"

	"hardtack/route/plan"
)

type exportCmd struct {
	Brief  string `arg:"" help:"The brief, a JSON file; - is standard input."`
	Format string `required:"" enum:"lp,mps" help:"lp (CPLEX LP) or mps (free MPS)."`
	Out    string `short:"o" help:"File to write; default standard output." placeholder:"FILE"`
}

// Help implements kong's HelpProvider.
func (exportCmd) Help() string {
	return `Writes a brief as a mixed-integer linear program, so that any solver can be
asked for a second opinion.

Example:
  hardtack export --format lp brief.json`
}

// Run writes the model.
func (c *exportCmd) Run(sh *shell) error {
	b, err := sh.readBrief(c.Brief)
	if err != nil {
		return err
	}
	write := plan.WriteLP
	if c.Format == "mps" {
		write = plan.WriteMPS
	}
	return sh.to(c.Out, func(w io.Writer) error { return write(w, b) })
}
