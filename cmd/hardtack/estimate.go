package main

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"os"
	"strings"

	"hardtack/api"
	"hardtack/pricing"
	"hardtack/pricing/calendar"
	"hardtack/pricing/dataset"
	"hardtack/pricing/estimate"
	"hardtack/pricing/money"
	"hardtack/route/geo"
	"hardtack/route/port"
	"hardtack/seed"
)

type estimateCmd struct {
	Port string `arg:"" optional:"" help:"Id of a port, from the database."`
	Item string `arg:"" optional:"" help:"Id of an item."`
	Why  bool   `help:"Say what the figure rests on: the reports and their weights, what port and country do to it, and what one more report would."`

	Dataset    string       `help:"Work on this folder of CSV files, without any database." placeholder:"DIR"`
	On         calendar.Day `help:"Day believed about; default the newest report's." placeholder:"DAY"`
	Pairs      string       `help:"CSV of port,item,day to answer; default every port and item." placeholder:"FILE"`
	Out        string       `short:"o" help:"File for the estimates; default standard output." placeholder:"FILE"`
	Rejected   string       `help:"Write the rows that cannot be read here." placeholder:"FILE"`
	Questioned string       `help:"Write the reports held back as probable slips here." placeholder:"FILE"`
	Evaluate   bool         `help:"Print how far off estimates and simple habits from the first four fifths of the time are in the last."`
	Truth      string       `help:"With --evaluate: print how far off they are from these true prices." placeholder:"FILE"`
}

// Help implements kong's HelpProvider.
func (estimateCmd) Help() string {
	return `What is believed of prices: a median with the interval one receipt lies in four
times in five, the chance of finding the thing, and what the figure rests on. With
--dataset for a folder of ports.csv, items.csv, rates.csv and reports.csv (exit code
3 says that some rows were rejected), else for one port and item of the database.

Example:
  hardtack estimate --dataset season --on 2026-09-01`
}

// Run estimates.
func (c *estimateCmd) Run(sh *shell) error {
	switch {
	case c.Dataset == "":
		return c.one(sh)
	case c.Port != "":
		return fmt.Errorf("%w: with --dataset ask for pairs by --pairs FILE, not %q", errUsage, c.Port)
	}
	var out, rejected, questioned bytes.Buffer
	outside, err := outsideWorld()
	if err != nil {
		return err
	}
	ask := dataset.Ask{Day: c.On, Outside: outside, Evaluate: c.Evaluate, Out: &out, Rejected: &rejected, Questioned: &questioned}
	for _, f := range []struct {
		name string
		to   *io.Reader
	}{{c.Pairs, &ask.Pairs}, {c.Truth, &ask.Truth}} {
		if f.name == "" {
			continue
		}
		file, err := sh.open(f.name)
		if err != nil {
			return err
		}
		defer file.Close()
		*f.to = file
	}
	bar := sh.progress("fitting")
	done, err := dataset.Estimate(os.DirFS(c.Dataset), ask)
	bar.done()
	if errors.Is(err, estimate.ErrFew) {
		return fmt.Errorf("%w: %w", errUsage, err)
	}
	if err != nil {
		return err
	}
	if err := c.write(sh, done, &out, &rejected, &questioned); err != nil {
		return err
	}
	if n := len(done.Rejected); n > 0 {
		return fmt.Errorf("%w: %d, the first is %s", errRejected, n, done.Rejected[0])
	}
	return nil
}

// write writes the files asked for; with --json and no --out the counts are
// printed instead of the estimates.
func (c *estimateCmd) write(sh *shell, done dataset.Answer, out, rejected, questioned *bytes.Buffer) error {
	for _, f := range []struct {
		name string
		data *bytes.Buffer
	}{{c.Rejected, rejected}, {c.Questioned, questioned}} {
		if f.name == "" {
			continue
		}
		if err := sh.to(f.name, bytesOf(f.data)); err != nil {
			return err
		}
	}
	if c.Out != "" || !sh.json {
		if err := sh.to(c.Out, bytesOf(out)); err != nil {
			return err
		}
	}
	if sh.json {
		return jsonOf(done)(sh.out)
	}
	return nil
}

// outsideWorld is what the program knows of places that a dataset does not say.
func outsideWorld() (dataset.Outside, error) {
	levels, err := port.LoadLevels(seed.FS)
	return dataset.Outside{
		Apart: func(a, b dataset.Port) float64 {
			return float64(geo.Distance(geo.Position{Lat: a.Latitude, Lon: a.Longitude}, geo.Position{Lat: b.Latitude, Lon: b.Longitude}))
		},
		Level: func(country string) float64 { return levels[country].Level },
	}, err
}

func bytesOf(b *bytes.Buffer) func(io.Writer) error {
	return func(w io.Writer) error {
		_, err := w.Write(b.Bytes())
		return err
	}
}

// one answers for a port and an item of the database.
func (c *estimateCmd) one(sh *shell) error {
	if c.Port == "" || c.Item == "" {
		return fmt.Errorf("%w: say which port and which item, or --dataset DIR", errUsage)
	}
	if c.Why {
		return c.why(sh)
	}
	return sh.service(func(s *api.Service) error {
		i, err := s.Item(pricing.ItemID(c.Item))
		if err != nil {
			return err
		}
		p, err := s.Port(sh.ctx, pricing.PortID(c.Port))
		if err != nil {
			return err
		}
		q := api.Pair{Port: p.ID, Item: i.ID, Day: c.On}
		if q.Day.IsZero() {
			q.Day = s.Today()
		}
		currency, found, err := s.Estimates(sh.ctx, []api.Pair{q})
		if err != nil {
			return err
		}
		e := found[0]
		return sh.emit(struct {
			Currency money.Currency `json:"currency"`
			api.Believed
		}{currency, q.Believed(e)}, func(w io.Writer) error {
			pr := printer{w: w}
			pr.f("%s in %s: %.2f %s per %s, four times in five %.2f–%.2f (bought in %s)\n",
				i.Name, p.Name, e.Price, currency, i.Unit, e.Low80, e.High80, i.PackLabel(i.ListPack))
			pr.f("to be found %.0f %% of the time; rests on: %s, %.1f reports' worth here", 100*e.Available, e.Basis, e.Evidence)
			if !e.Newest.IsZero() {
				pr.f(", the newest of %s", e.Newest)
			}
			pr.f("\n")
			describeGoods(&pr, e.Goods)
			return pr.err
		})
	})
}

// describeGoods tells what others found of its quality.
func describeGoods(pr *printer, g pricing.Goods) {
	if g.Lost >= 0.005 {
		pr.f("reckon to throw away %.0f %% of it: %d of %d reports from here call it poor\n", 100*g.Lost, g.Poor, g.Graded)
	}
	for _, x := range []struct {
		what string
		pricing.Contrast
	}{{"origin", g.Origin}, {"packaging", g.Packed}} {
		if x.Worst != "" {
			pr.f("%s %s: %d of %d reports from anywhere call it poor", x.what, x.Worst, x.Poor, x.Graded)
			if x.Best != "" {
				pr.f("; %s is better", strings.ReplaceAll(x.Best, "clear", "see-through"))
			}
			pr.f("\n")
		}
	}
}

// why explains the estimate of a port and an item of the database.
func (c *estimateCmd) why(sh *shell) error {
	return sh.service(func(s *api.Service) error {
		currency, e, err := s.Why(sh.ctx, pricing.PortID(c.Port), pricing.ItemID(c.Item))
		if err != nil {
			return err
		}
		return sh.emit(e, func(w io.Writer) error {
			p := printer{w: w}
			p.f("%.2f %s, of which %.0f %% from reports of it here and the rest from what one expects, %.2f:\n", e.Estimate.Price, currency, 100*e.Own, e.Expected)
			for _, x := range e.Pulls {
				p.f("  %8.3f  %s\n", x.Factor, x.Name)
			}
			for _, r := range e.Reports {
				p.f("%s  %s  counts %2.0f %%", r.Day, r.Report, 100*r.Weight)
				if r.Price > 0 {
					p.f("  %.2f today", r.Price)
				}
				if r.Why != "" {
					p.f("  (%s)", r.Why)
				}
				p.f("\n")
			}
			p.f("The usual price here is known to within %.0f %%; one more receipt would make that %.0f %%.\n", 100*e.DoubtNow, 100*e.DoubtThen)
			return p.err
		})
	})
}
