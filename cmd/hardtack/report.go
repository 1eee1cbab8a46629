package main

import (
	"fmt"
	"io"

	"hardtack/api"
	"hardtack/db"
	"hardtack/pricing"
	"hardtack/pricing/calendar"
)

type reportCmd struct {
	Add        reportAddCmd        `cmd:"" default:"withargs" help:"Report what one thing cost, or that there was none."`
	Receipt    reportReceiptCmd    `cmd:"" help:"Report a whole receipt from a JSON file."`
	Withdraw   reportWithdrawCmd   `cmd:"" help:"Take a report of yours back."`
	List       reportListCmd       `cmd:"" help:"Show reports, newest first."`
	Questioned reportQuestionedCmd `cmd:"" help:"Show reports held back as probable slips until they are put right."`
	Standouts  reportStandoutsCmd  `cmd:"" help:"Show reporters whose prices are not those of the others."`
}

// Help implements kong's HelpProvider.
func (reportCmd) Help() string {
	return `A report is a fact: it is never edited. To put one right, report again with
--replaces; to take one back, withdraw it. The same id twice changes nothing.

Example:
  hardtack report ESLPA rice_white --paid 1.85 --pack "1 kg"`
}

type reportAddCmd struct {
	Port     string       `arg:"" help:"Id of the port, see hardtack ports."`
	Item     string       `arg:"" help:"Id of the item, see hardtack items."`
	Paid     string       `help:"Paid for one pack; a decimal comma will do." xor:"found" required:""`
	None     bool         `help:"Looked for, not to be had." xor:"found" required:""`
	Cheap    bool         `help:"To be had, about 15 % or more below what one expects there." xor:"found" required:""`
	Fair     bool         `help:"To be had at about what one expects there." xor:"found" required:""`
	Dear     bool         `help:"To be had, about 15 % or more above what one expects there." xor:"found" required:""`
	Pack     string       `help:"\"500 g\", \"1.5 l\", \"12 x 330 ml\", \"2 lb\", \"dozen\"; default the usual pack."`
	Currency string       `help:"ISO 4217; default the port's."`
	Day      calendar.Day `help:"Default today." placeholder:"DAY"`
	By       string       `help:"Who reports: any id that tells nothing about the person; default one made for this database."`
	Source   string       `help:"receipt, shelf or memory." enum:"receipt,shelf,memory" default:"shelf"`
	Shop     string       `help:"Where in the port."`
	Quality  int          `help:"1 (poor) to 5 (excellent), as the goods looked."`
	Origin   string       `help:"Country of the goods, ISO 3166-1."`
	Note     string       `help:"Anything."`
	ID       string       `name:"id" help:"A UUID, so that a retry changes nothing; default a new one."`
	Replaces string       `help:"Id of the report of yours that this one corrects." placeholder:"ID"`
}

// Run records the report.
func (c *reportAddCmd) Run(sh *shell) error {
	return sh.service(func(s *api.Service) error {
		e := api.Entry{
			ID: c.ID, Port: c.Port, Item: c.Item, Day: c.Day, Found: c.found(), Shop: c.Shop, Reporter: c.By,
			Source: pricing.Source(c.Source), Quality: c.Quality, Origin: c.Origin, Note: c.Note, Replaces: c.Replaces,
		}
		if e.Day.IsZero() {
			e.Day = s.Today()
		}
		if err := reporter(sh, s, &e.Reporter); err != nil {
			return err
		}
		if e.Found == pricing.FoundYes {
			if err := c.price(sh, s, &e); err != nil {
				return err
			}
		}
		done, err := s.Record(sh.ctx, e)
		if err != nil {
			return err
		}
		return sh.emitRecorded(done)
	})
}

// reporter is this database's own unless another was named.
func reporter(sh *shell, s *api.Service, by *string) (err error) {
	if *by == "" {
		*by, err = s.Me(sh.ctx)
	}
	return err
}

func (c *reportAddCmd) found() pricing.Found {
	for _, f := range []struct {
		said  bool
		found pricing.Found
	}{{c.None, pricing.FoundNone}, {c.Cheap, pricing.Cheap}, {c.Fair, pricing.Fair}, {c.Dear, pricing.Dear}} {
		if f.said {
			return f.found
		}
	}
	return pricing.FoundYes
}

// price fills in the port's currency and the item's usual pack where they were
// not said. What is not known is left for Record to say.
func (c *reportAddCmd) price(sh *shell, s *api.Service, e *api.Entry) error {
	e.Amount, e.Currency, e.Pack = c.Paid, c.Currency, c.Pack
	if e.Currency == "" {
		p, err := s.Port(sh.ctx, pricing.PortID(c.Port))
		if err != nil {
			return err
		}
		e.Currency = string(p.Currency)
	}
	if e.Pack == "" {
		i, err := s.Item(pricing.ItemID(c.Item))
		if err != nil {
			return err
		}
		e.Pack = i.ListPack.Format(i.Unit)
	}
	return nil
}

func (sh *shell) emitRecorded(done api.Recorded) error {
	return sh.emit(done, func(w io.Writer) error {
		p := printer{w: w}
		for _, id := range done.IDs {
			p.f("%s\n", id)
		}
		p.f("%d new, %d there already.\n", done.New, done.Same)
		for _, q := range done.Questions {
			p.f("Look again: %s\n", q.Problem)
		}
		if len(done.Questions) > 0 {
			p.f("Until it is put right it does not count. Report again with --replaces and the id above; the same figures again say that it was right.\n")
		}
		return p.err
	})
}

type reportReceiptCmd struct {
	File string `arg:"" help:"A JSON file as the API takes it; - is standard input."`
}

// Run records all lines or none.
func (c *reportReceiptCmd) Run(sh *shell) error {
	r, err := readJSON[api.Receipt](sh, c.File)
	if err != nil {
		return err
	}
	return sh.service(func(s *api.Service) error {
		if err := reporter(sh, s, &r.Reporter); err != nil {
			return err
		}
		done, err := s.RecordReceipt(sh.ctx, r)
		if err != nil {
			return err
		}
		return sh.emitRecorded(done)
	})
}

type reportWithdrawCmd struct {
	ID string `arg:"" help:"The report."`
	By string `help:"Who reported it; default as report."`
}

// Run withdraws the report.
func (c *reportWithdrawCmd) Run(sh *shell) error {
	return sh.service(func(s *api.Service) error {
		if err := reporter(sh, s, &c.By); err != nil {
			return err
		}
		done, err := s.Withdraw(sh.ctx, c.ID, c.By, s.Today())
		if err != nil {
			return err
		}
		return sh.emitRecorded(done)
	})
}

type reportListCmd struct {
	Port string `help:"Of this port only." placeholder:"ID"`
	Item string `help:"Of this item only." placeholder:"ID"`
	N    int    `short:"n" help:"At most so many." default:"50"`
}

// Run shows reports.
func (c *reportListCmd) Run(sh *shell) error {
	return sh.service(func(s *api.Service) error {
		f := db.Filter{Port: pricing.PortID(c.Port), Item: pricing.ItemID(c.Item)}
		reports, more, err := s.Reports(sh.ctx, f, db.Cursor{}, c.N)
		if err != nil {
			return err
		}
		entries := make([]api.Entry, len(reports))
		for i, r := range reports {
			entries[i] = s.EntryOf(r)
		}
		return sh.emit(entries, func(w io.Writer) error { return describeReports(w, entries, more) })
	})
}

func describeReports(w io.Writer, entries []api.Entry, more bool) error {
	p := columns(w)
	if len(entries) == 0 {
		p.f("No such reports.\n")
	}
	for _, e := range entries {
		what := string(e.Found)
		switch e.Found {
		case pricing.FoundYes:
			what = fmt.Sprintf("%s %s for %s", e.Amount, e.Currency, e.Pack)
		case pricing.Withdrawn:
			what = "takes back " + e.Replaces
		}
		p.f("%s\t%s\t%s\t%s\t%s\t%s\n", e.Day, e.Port, e.Item, what, e.Reporter, e.ID)
	}
	if more {
		p.f("There are more: ask for them with -n.\n")
	}
	return p.end()
}

type reportQuestionedCmd struct{}

// Run shows the reports held back.
func (reportQuestionedCmd) Run(sh *shell) error {
	return sh.service(func(s *api.Service) error {
		all, err := s.Questioned(sh.ctx)
		if err != nil {
			return err
		}
		return sh.emit(all, func(w io.Writer) error {
			p := printer{w: w}
			for _, q := range all {
				p.f("%s  %s", q.Report, q.Reason)
				if q.Suggestion != "" {
					p.f("; perhaps %s", q.Suggestion)
				}
				p.f("\n")
			}
			if len(all) == 0 {
				p.f("No report is held back.\n")
			}
			return p.err
		})
	})
}
