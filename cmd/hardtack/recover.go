package main

import (
	"fmt"
	"io"
	"maps"
	"slices"

	"hardtack/db"
)

type recoverCmd struct {
	Damaged string `arg:"" help:"The damaged file; it is only read."`
	Into    string `required:"" help:"The new file." placeholder:"FILE"`
}

// Help implements kong's HelpProvider.
func (recoverCmd) Help() string {
	return `Saves what can be read of a damaged SQLite file into a new one. A backup is
better, if there is one. Exit code 3 when something was lost.

Example:
  hardtack recover damaged.db --into saved.db`
}

// Run saves what can be read, and says what could not be.
func (c *recoverCmd) Run(sh *shell) error {
	bar := sh.progress("reading around the damage")
	got, err := db.Recover(sh.ctx, c.Damaged, c.Into)
	bar.done()
	if err != nil {
		return err
	}
	if err := sh.emit(got, func(w io.Writer) error { return c.words(w, got) }); err != nil {
		return err
	}
	if len(got.Lost) > 0 {
		return fmt.Errorf("%w: what could not be read of %s", errRejected, c.Damaged)
	}
	return nil
}

func (c *recoverCmd) words(w io.Writer, got db.Recovered) error {
	p := printer{w: w}
	for _, name := range slices.Sorted(maps.Keys(got.Saved)) {
		p.f("%8d rows of %s\n", got.Saved[name], name)
	}
	for _, l := range got.Lost {
		p.f("lost: %s\n", l)
	}
	p.f("Saved in %s; %s is as it was.\n", c.Into, c.Damaged)
	p.f("Next: \"hardtack --db %s doctor\", look at your voyage and list, then use that file.\n", c.Into)
	return p.err
}
