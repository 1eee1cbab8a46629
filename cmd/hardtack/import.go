package main

import (
	"errors"
	"fmt"
	"io"

	"hardtack/api"
	"hardtack/pricing/dataset"
)

type importCmd struct {
	File     string `arg:"" help:"reports.csv of a price dataset; - is standard input."`
	DryRun   bool   `help:"Say what would be taken; write nothing."`
	SkipBad  bool   `help:"Take the good rows although others are bad."`
	Portion  int    `help:"Take so many rows at a time, for files larger than memory: what was taken stays, and the same file again goes on." placeholder:"ROWS"`
	Rejected string `help:"Write the rows that were not taken here, as CSV." placeholder:"FILE"`
}

// Help implements kong's HelpProvider.
func (importCmd) Help() string {
	return `Takes reports from a CSV file. Every row gets a verdict; without --skip-bad one
bad row means that nothing is written (exit code 4). The same file twice changes
nothing.

Example:
  hardtack import reports.csv --dry-run`
}

// Run imports the file.
func (c *importCmd) Run(sh *shell) error {
	f, err := sh.open(c.File)
	if err != nil {
		return err
	}
	defer f.Close()
	if c.Portion < 0 {
		return fmt.Errorf("%w: --portion %d: want a number of rows above 0", errUsage, c.Portion)
	}
	return sh.service(func(s *api.Service) error {
		bar := sh.progress("reading " + c.File)
		done, err := s.Import(sh.ctx, f, api.ImportOptions{
			File: c.File, DryRun: c.DryRun, SkipBad: c.SkipBad, Portion: c.Portion,
			Tell: func(so api.Imported) {
				bar.say(fmt.Sprintf("%d rows of %s, %d rejected", so.Rows, c.File, len(so.Rejected)))
			},
		})
		bar.done()
		if c.Rejected != "" {
			write := func(w io.Writer) error { return dataset.WriteRejected(w, done.Rejected) }
			if err := sh.to(c.Rejected, write); err != nil {
				return err
			}
		}
		if errors.Is(err, api.ErrInvalid) {
			return fmt.Errorf("%w: %w", errRefused, err)
		}
		if err != nil {
			return err
		}
		if err := sh.emit(done, func(w io.Writer) error { return c.words(w, done) }); err != nil {
			return err
		}
		if n := len(done.Rejected); n > 0 {
			return fmt.Errorf("%w: %d", errRejected, n)
		}
		return nil
	})
}

func (c *importCmd) words(w io.Writer, done api.Imported) error {
	p := printer{w: w}
	for _, r := range done.Rejected {
		p.f("%s\n", r)
	}
	verb := "taken"
	if !done.Written {
		verb = "could be taken, nothing was written"
	}
	p.f("%d rows %s: %d new, %d there already; %d rejected.\n", done.Rows, verb, done.New, done.Same, len(done.Rejected))
	return p.err
}
