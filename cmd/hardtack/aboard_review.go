package main

import (
	"fmt"
	"io"
	"strings"

	"hardtack/api"
	"hardtack/pricing/calendar"
	"hardtack/pricing/measure"
	"hardtack/pricing/money"
	"hardtack/route/review"
)

// stretch is what to look back on, as flags.
type stretch struct {
	From calendar.Day   `help:"From this day on; default the first line of the stores book." placeholder:"DAY"`
	To   calendar.Day   `help:"Up to this day; default today." placeholder:"DAY"`
	Crew string         `help:"Who was aboard; default the only crew." placeholder:"ID"`
	Home money.Currency `help:"Currency to add up in; default the voyage's." placeholder:"EUR"`
}

func (x stretch) options() api.ReviewOptions {
	return api.ReviewOptions{From: x.From, To: x.To, Crew: x.Crew, Home: x.Home}
}

type aboardReviewCmd struct{ stretch }

// Run looks back.
func (x *aboardReviewCmd) Run(c *cli, sh *shell) error {
	return sh.aboard(c, func(s *api.Service, id string) error {
		r, err := s.Review(sh.ctx, id, x.options())
		if err != nil {
			return err
		}
		return sh.emit(r, func(w io.Writer) error { return describeReview(w, r) })
	})
}

func describeReview(w io.Writer, r review.Review) error {
	p := printer{w: w}
	p.f("%s to %s, %.0f person-days\n", r.From, r.To, r.PersonDays)
	p.f("Money %.2f, %.2f a person-day", r.Spent, r.PerDay)
	if r.Unpriced > 0 {
		p.f(" at least: %d purchases without a price", r.Unpriced)
	}
	p.f(". Stores %.1f L a person-day", r.Litres)
	if r.WaterL > 0 {
		p.f(", water %.1f L", r.WaterL)
	}
	p.f(".\n")
	for _, n := range r.Needs {
		p.f("  %s: %s a person-day, list %s\n", n.Name, measure.Of(n.Actual).Format(n.Unit), measure.Of(n.List).Format(n.Unit))
	}
	for _, l := range r.Lost {
		p.f("  lost to %s in %s: %.1f kg, worth about %.2f: %s\n", l.Cause, l.Place, l.Kg, l.Worth, strings.Join(l.Items, ", "))
	}
	for _, b := range r.Bargains {
		if b.Saved > 0 {
			p.f("  paid off: %s on %s %s at %.2f instead of %.2f saved %.2f\n", b.Name, b.Day, b.Port, b.Price, b.Other, b.Saved)
		}
	}
	describeLedger(&p, r.Ledger)
	if len(r.Words) > 0 {
		p.f("NEXT SEASON'S LIST\n")
	}
	for _, line := range r.Words {
		p.f("  %s\n", line)
	}
	return p.err
}

type aboardLedgerCmd struct{}

// Run shows what passed between boats.
func (aboardLedgerCmd) Run(c *cli, sh *shell) error {
	return sh.aboard(c, func(s *api.Service, id string) error {
		l, err := s.Ledger(sh.ctx, id)
		if err != nil {
			return err
		}
		return sh.emit(l, func(w io.Writer) error {
			p := printer{w: w}
			if len(l) == 0 {
				p.f("Nothing was given or got yet.\n")
			}
			describeLedger(&p, l)
			return p.err
		})
	})
}

func describeLedger(p *printer, accounts []review.Account) {
	for _, a := range accounts {
		who := a.Party
		if who == "" {
			who = "nobody named"
		}
		for _, t := range a.Lines {
			p.f("  %s: %s, given %s, got %s%s\n", who, t.Name, t.Given.Format(t.Unit), t.Got.Format(t.Unit), owes(t))
		}
	}
}

func owes(t review.Trade) string {
	switch {
	case t.TheyOwe > 0:
		return "; they owe " + t.TheyOwe.Format(t.Unit)
	case t.TheyOwe < 0:
		return "; we owe " + (-t.TheyOwe).Format(t.Unit)
	}
	return ""
}

type aboardExportCmd struct {
	stretch
	Table string `help:"One table as CSV: aboard, book, counts, usage, log, needs, lost, ledger; default all of them as a spreadsheet." placeholder:"NAME"`
	Out   string `short:"o" help:"File to write; default standard output." placeholder:"FILE"`
}

// Run writes the tables.
func (x *aboardExportCmd) Run(c *cli, sh *shell) error {
	return sh.aboard(c, func(s *api.Service, id string) error {
		tables, err := s.Tables(sh.ctx, id, x.options())
		if err != nil {
			return err
		}
		if x.Table == "" {
			return sh.to(x.Out, func(w io.Writer) error { return api.WriteXLSX(w, tables) })
		}
		for _, t := range tables {
			if t.Name == x.Table {
				return sh.to(x.Out, t.WriteCSV)
			}
		}
		return fmt.Errorf("%w: no table %q: want aboard, book, counts, usage, log, needs, lost or ledger", errUsage, x.Table)
	})
}
