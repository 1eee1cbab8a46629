package main

import (
	"fmt"
	"io"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"hardtack/pricing/dataset"
	"hardtack/pricing/world"
)

type inventCmd struct {
	Dir string `arg:"" help:"Folder to write, which must not be there yet."`

	Kind    string  `help:"Which world; see below." default:"plain"`
	Seed    uint64  `help:"Another seed, another world." default:"1"`
	Reports int     `help:"How many reports." default:"15000"`
	Items   int     `help:"How many items." default:"300"`
	Ports   int     `help:"How many ports." default:"80"`
	Liars   float64 `help:"Share of reporters who lie." default:"0"`
	Wild    bool    `help:"Liars lie by another factor every time."`
	Swarm   float64 `help:"Share of reports by new accounts that lie." default:"0"`
}

// Help implements kong's HelpProvider.
func (inventCmd) Help() string {
	return `Writes a port price dataset whose true prices are known: ports.csv, items.csv,
rates.csv, reports.csv, and beside them truth.csv and faults.csv (which reports are
slips or lies). Everything in it is invented, countries too. Kinds of world: ` + strings.Join(worldNames(), ", ") + `.
Try it with: hardtack estimate --dataset DIR --evaluate --truth DIR/truth.csv

Example:
  hardtack invent invented --kind tastes --reports 2000 --items 60 --ports 20`
}

func worldNames() []string { return slices.Sorted(maps.Keys(world.Kinds())) }

// Run invents.
func (c *inventCmd) Run(sh *shell) error {
	truth, ok := world.Kinds()[c.Kind]
	if !ok {
		return fmt.Errorf("%w: kind %q: want one of %s", errUsage, c.Kind, strings.Join(worldNames(), ", "))
	}
	s := world.Usual(c.Seed, truth)
	s.Reports, s.Items, s.Ports, s.Liars, s.Wild, s.Swarm = c.Reports, c.Items, c.Ports, c.Liars, c.Wild, c.Swarm
	s.Countries, s.Categories, s.Reporters = min(s.Countries, max(1, c.Ports/3)), min(s.Categories, max(1, c.Items/10)), max(1, c.Reports/60)
	if s.Reports < 1 || s.Items < 2 || s.Ports < 2 || s.Items > 1e5 || s.Ports > 1e5 || s.Reports > 2e7 {
		return fmt.Errorf("%w: want 2 to 100000 items and ports and 1 to 20000000 reports", errUsage)
	}
	for _, share := range []float64{s.Liars, s.Swarm} {
		if !(share >= 0 && share <= 1) {
			return fmt.Errorf("%w: want shares from 0 to 1", errUsage)
		}
	}
	w := world.Invent(s)
	if err := c.write(w); err != nil {
		return err
	}
	return sh.emit(map[string]any{"dir": c.Dir, "reports": len(w.Reports), "pairs": len(w.Pairs)}, func(out io.Writer) error {
		_, err := fmt.Fprintf(out, "%d reports of %d items at %d ports in %s, all invented\n", len(w.Reports), len(w.Items), len(w.Ports), c.Dir)
		return err
	})
}

func (c *inventCmd) write(w *world.World) error {
	if err := os.Mkdir(c.Dir, 0o755); err != nil {
		return fmt.Errorf("invent: %w: %w", errUsage, err)
	}
	create := func(name string) (io.WriteCloser, error) { return os.Create(filepath.Join(c.Dir, name)) }
	if err := dataset.Write(dataset.Invented(w), create); err != nil {
		return err
	}
	for name, write := range map[string]func(io.Writer, *world.World) error{"truth.csv": dataset.WriteTruth, "faults.csv": dataset.WriteFaults} {
		f, err := create(name)
		if err != nil {
			return err
		}
		err = write(f, w)
		if closed := f.Close(); err == nil {
			err = closed
		}
		if err != nil {
			return fmt.Errorf("invent: %s: %w", name, err)
		}
	}
	return nil
}
