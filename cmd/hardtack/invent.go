package main

import (
	"fmt"
	"io"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"hardtack/api"
	"hardtack/pricing"
	"hardtack/pricing/dataset"
	"hardtack/pricing/world"
	"hardtack/seed"
)

type inventCmd struct {
	Dir string `arg:"" help:"Folder to write, which must not be there yet."`

	Kind    string  `help:"Which world; see below." default:"plain"`
	Seed    uint64  `help:"Another seed, another world." default:"1"`
	Reports int     `help:"How many visits to a shop; quiet ports and countries tell of none, so that somewhat fewer reports come of them." default:"15000"`
	Items   int     `help:"How many items." default:"300"`
	Ports   int     `help:"How many ports." default:"80"`
	Known   bool    `help:"At the ports and of the items the program knows, so that the reports can be imported. The prices are invented."`
	Liars   float64 `help:"Share of reporters who lie." default:"0"`
	Wild    bool    `help:"Liars lie by another factor every time."`
	Swarm   float64 `help:"Share of reports by new accounts that lie." default:"0"`
}

// Help implements kong's HelpProvider.
func (inventCmd) Help() string {
	return `Writes a port price dataset whose true prices are known: ports.csv, items.csv,
rates.csv, reports.csv, and beside them truth.csv and faults.csv (which reports are
slips or lies). Everything in it is invented, countries too, but for --known. Ten
million reports take a minute or two and a gigabyte of disk. Kinds of world: ` + strings.Join(worldNames(), ", ") + `.
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
	s.Countries, s.Reporters = min(max(s.Countries, c.Ports/40), max(1, c.Ports/3)), max(1, c.Reports/60)
	s.Categories = min(s.Categories, max(1, c.Items/10))
	if s.Reports < 1 || s.Items < 2 || s.Ports < 2 || s.Items > 1e5 || s.Ports > 1e5 || s.Reports > 2e7 {
		return fmt.Errorf("%w: want 2 to 100000 items and ports and 1 to 20000000 reports", errUsage)
	}
	for _, share := range []float64{s.Liars, s.Swarm} {
		if !(share >= 0 && share <= 1) {
			return fmt.Errorf("%w: want shares from 0 to 1", errUsage)
		}
	}
	if c.Known {
		known, err := knownWorld()
		if err != nil {
			return err
		}
		s.Known = known
	}
	w, reports, err := c.write(sh, s)
	if err != nil {
		return err
	}
	return sh.emit(map[string]any{"dir": c.Dir, "reports": reports, "pairs": len(w.Pairs)}, func(out io.Writer) error {
		_, err := fmt.Fprintf(out, "%d reports of %d items at %d ports in %s, all invented\n", reports, len(w.Items), len(w.Ports), c.Dir)
		return err
	})
}

// knownWorld is the places and goods the program comes with.
func knownWorld() (*world.Known, error) {
	all, err := api.LoadWorld(seed.FS)
	if err != nil {
		return nil, err
	}
	out := world.Known{Rates: all.Rates}
	for _, p := range all.Ports.All() {
		if _, _, err := all.Rates.Per(p.Currency, world.Day); err == nil {
			out.Ports = append(out.Ports, world.Port{
				ID: p.ID, Country: p.Country, Latitude: p.Position.Lat, Longitude: p.Position.Lon, Currency: p.Currency,
			})
		}
	}
	for _, id := range all.Catalogue.Order {
		i := all.Catalogue.Items[id]
		out.Items = append(out.Items, world.Item{ID: id, Category: i.Category, Unit: i.Unit, ListPack: i.ListPack, Price: i.BasePrice})
	}
	return &out, nil
}

// write invents into the folder, and says how many reports there are.
func (c *inventCmd) write(sh *shell, s world.Spec) (w *world.World, reports int, err error) {
	if err := os.Mkdir(c.Dir, 0o755); err != nil {
		return nil, 0, fmt.Errorf("invent: %w: %w", errUsage, err)
	}
	create := func(name string) (io.WriteCloser, error) { return os.Create(filepath.Join(c.Dir, name)) }
	bar := sh.progress("inventing")
	defer bar.done()
	err = into(create, "reports.csv", func(f io.Writer) error {
		to := dataset.NewReportWriter(f)
		w = world.Tell(s, func(r pricing.Report) {
			to.Write(r)
			if reports++; reports%100_000 == 0 {
				bar.say(fmt.Sprintf("inventing: %d reports", reports))
			}
		})
		return to.Flush()
	})
	if err == nil {
		err = dataset.WritePlaces(dataset.Invented(w), create)
	}
	for _, f := range []struct {
		name  string
		write func(io.Writer, *world.World) error
	}{{"truth.csv", dataset.WriteTruth}, {"faults.csv", dataset.WriteFaults}} {
		if err == nil {
			err = into(create, f.name, func(to io.Writer) error { return f.write(to, w) })
		}
	}
	return w, reports, err
}

func into(create dataset.Create, name string, write func(io.Writer) error) error {
	f, err := create(name)
	if err != nil {
		return err
	}
	err = write(f)
	if closed := f.Close(); err == nil {
		err = closed
	}
	if err != nil {
		return fmt.Errorf("invent: %s: %w", name, err)
	}
	return nil
}
