package main

import (
	"encoding/csv"
	"fmt"
	"io"
	"os"

	"hardtack/api"
	"hardtack/pricing"
	"hardtack/pricing/calendar"
	"hardtack/pricing/dataset"
	"hardtack/pricing/estimate"
)

type estimateCmd struct {
	Port string `arg:"" optional:"" help:"Id of a port, from the database."`
	Item string `arg:"" optional:"" help:"Id of an item."`

	Dataset    string       `help:"Work on this folder of CSV files, without any database." placeholder:"DIR"`
	On         calendar.Day `help:"Day believed about; default the newest report's." placeholder:"DAY"`
	Pairs      string       `help:"CSV of port,item,day to answer; default every port and item." placeholder:"FILE"`
	Out        string       `short:"o" help:"File for the estimates; default standard output." placeholder:"FILE"`
	Rejected   string       `help:"Write the rows that cannot be read here." placeholder:"FILE"`
	Questioned string       `help:"Write the reports held back as probable slips here." placeholder:"FILE"`
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
	if c.Dataset == "" {
		return c.one(sh)
	}
	if c.Port != "" {
		return fmt.Errorf("%w: with --dataset ask for pairs by --pairs FILE, not %q", errUsage, c.Port)
	}
	d, rejected, err := dataset.Read(os.DirFS(c.Dataset))
	if err != nil {
		return err
	}
	pairs, more, err := c.pairs(sh, d)
	if err != nil {
		return err
	}
	rejected = append(rejected, more...)
	bar := sh.progress("fitting")
	m := estimate.Fit(c.input(d))
	bar.done()
	if err := c.write(sh, m, pairs, rejected); err != nil {
		return err
	}
	if len(rejected) > 0 {
		return fmt.Errorf("%w: %d, the first is %s", errRejected, len(rejected), rejected[0])
	}
	return nil
}

// input is what the model may know of a dataset: no guess of ours is in it.
func (c *estimateCmd) input(d dataset.Dataset) estimate.Input {
	in := estimate.Input{Rates: d.Rates, Reports: d.Reports, Day: c.day(d)}
	for _, p := range d.Ports {
		in.Ports = append(in.Ports, estimate.Port{ID: p.ID, Country: p.Country})
	}
	for _, i := range d.Items {
		in.Items = append(in.Items, estimate.Item{ID: i.ID, Category: i.Category, Unit: i.Unit, ListPack: i.ListPack})
	}
	return in
}

// day is the day asked for, else the newest report's.
func (c *estimateCmd) day(d dataset.Dataset) calendar.Day {
	if !c.On.IsZero() {
		return c.On
	}
	var newest calendar.Day
	for _, r := range d.Reports {
		newest = max(newest, r.Day)
	}
	return newest
}

func (c *estimateCmd) pairs(sh *shell, d dataset.Dataset) ([]dataset.Pair, []dataset.Rejection, error) {
	if c.Pairs != "" {
		f, err := sh.open(c.Pairs)
		if err != nil {
			return nil, nil, err
		}
		defer f.Close()
		return dataset.ReadPairs(f, c.Pairs, d)
	}
	var out []dataset.Pair
	for _, p := range d.Ports {
		for _, i := range d.Items {
			out = append(out, dataset.Pair{Port: p.ID, Item: i.ID, Day: c.day(d)})
		}
	}
	return out, nil, nil
}

func (c *estimateCmd) write(sh *shell, m *estimate.Model, pairs []dataset.Pair, rejected []dataset.Rejection) error {
	estimates := make([]pricing.Estimate, len(pairs))
	for k, p := range pairs {
		estimates[k] = m.At(p.Port, p.Item, p.Day)
	}
	if c.Rejected != "" {
		if err := sh.to(c.Rejected, func(w io.Writer) error { return dataset.WriteRejected(w, rejected) }); err != nil {
			return err
		}
	}
	if c.Questioned != "" {
		if err := sh.to(c.Questioned, func(w io.Writer) error { return writeQuestioned(w, m.Questioned()) }); err != nil {
			return err
		}
	}
	return sh.to(c.Out, func(w io.Writer) error { return dataset.WriteEstimates(w, pairs, estimates) })
}

func writeQuestioned(w io.Writer, all []estimate.Questioned) error {
	rows := [][]string{{"report", "reason", "suggestion"}}
	for _, q := range all {
		rows = append(rows, []string{q.Report, q.Reason, q.Suggestion})
	}
	return csv.NewWriter(w).WriteAll(rows)
}

// believed is an estimate as JSON, with the names of estimates.csv.
type believed struct {
	Port      pricing.PortID `json:"port"`
	Item      pricing.ItemID `json:"item"`
	Currency  string         `json:"currency"`
	Price     float64        `json:"price"`
	Low80     float64        `json:"low80"`
	High80    float64        `json:"high80"`
	Available float64        `json:"available"`
	Evidence  float64        `json:"evidence"`
	Newest    calendar.Day   `json:"newest,omitzero"`
	Basis     pricing.Basis  `json:"basis"`
}

// one answers for a port and an item of the database.
func (c *estimateCmd) one(sh *shell) error {
	if c.Port == "" || c.Item == "" {
		return fmt.Errorf("%w: say which port and which item, or --dataset DIR", errUsage)
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
		currency, found, err := s.Estimates(sh.ctx, []api.Pair{{Port: p.ID, Item: i.ID, Day: c.On}})
		if err != nil {
			return err
		}
		e := found[0]
		return sh.emit(believed{
			p.ID, i.ID, string(currency), e.Price, e.Low80, e.High80, e.Available, e.Evidence, e.Newest, e.Basis,
		}, func(w io.Writer) error {
			pr := printer{w: w}
			pr.f("%s in %s: %.2f %s per %s, four times in five %.2f–%.2f (bought in %s)\n",
				i.Name, p.Name, e.Price, currency, i.Unit, e.Low80, e.High80, i.PackLabel(i.ListPack))
			pr.f("to be found %.0f %% of the time; rests on: %s, %.1f reports' worth here", 100*e.Available, e.Basis, e.Evidence)
			if !e.Newest.IsZero() {
				pr.f(", the newest of %s", e.Newest)
			}
			pr.f("\n")
			return pr.err
		})
	})
}
