package main

import (
	"fmt"
	"io"

	"hardtack/api"
	"hardtack/pricing/money"
	"hardtack/route/plan"
)

type shelfCmd struct {
	Item   string `arg:"" help:"Id of the item."`
	Voyage string `arg:"" optional:"" help:"The voyage; default the only one."`

	Stop     int            `help:"The stop you shop at, counted from 0." default:"0"`
	Pack     string         `help:"The pack on the shelf, as \"500 g\"; default the one planned." placeholder:"PACK"`
	Price    string         `help:"What it asks for a pack, as 4.49: says how many to take and what else changes." placeholder:"PRICE"`
	Currency money.Currency `help:"Of the price; default the port's." placeholder:"CODE"`
	Whole    bool           `help:"Plan every other need again too; takes some seconds."`
	Work     int            `help:"How long to search for that, in schedules tried; 0 is the usual few seconds." default:"0"`
}

// Help implements kong's HelpProvider.
func (shelfCmd) Help() string {
	return `Says up to which price how many packs of a thing are to be taken at a stop of the
last plan, by planning again with every number. With the price on the shelf it
says how many to take now, which purchases at which stops grow, shrink, come or
go for it, and what the season then costs. Nothing is kept.

Example:
  hardtack shelf rice_white --stop 0 --price 3.20`
}

// Run tells the steps, or what a price changes.
func (c *shelfCmd) Run(sh *shell) error {
	if c.Price == "" && (c.Whole || c.Currency != "") {
		return fmt.Errorf("%w: --whole and --currency belong to a --price", errUsage)
	}
	return sh.service(func(s *api.Service) error {
		id, err := sh.voyageOf(s, c.Voyage)
		if err != nil {
			return err
		}
		if c.Price == "" {
			x, err := s.Shelf(sh.ctx, id, api.ShelfAsk{Item: c.Item, Stop: c.Stop, Pack: c.Pack})
			if err != nil {
				return err
			}
			return sh.emit(x, func(w io.Writer) error { return describeShelf(w, x) })
		}
		r, err := s.Reprice(sh.ctx, id, api.MetOptions{
			Stop: c.Stop, Whole: c.Whole, Budget: plan.Budget{Work: c.Work},
			Prices: []api.Met{{Item: c.Item, Pack: c.Pack, Price: c.Price, Currency: c.Currency}},
		})
		if err != nil {
			return err
		}
		return sh.emit(r, func(w io.Writer) error { return describeRepriced(w, r) })
	})
}

func describeShelf(w io.Writer, x api.Shelf) error {
	pr := &printer{w: w}
	pr.f("%s at %s, a pack of %s", x.Name, x.Port, x.Label)
	if x.Expected > 0 {
		pr.f(", expected at %.2f %s", x.Expected, x.Currency)
	} else {
		pr.f(", not expected there")
	}
	pr.f("; planned: %d.\n", x.Planned)
	for _, words := range x.Words {
		pr.f("  %s\n", words)
	}
	pr.f("The rest of the plan as it is; its other needs may change a little too.\n")
	return pr.err
}

func describeRepriced(w io.Writer, r api.Repriced) error {
	pr := &printer{w: w}
	for _, words := range r.Words {
		pr.f("%s\n", words)
	}
	if r.Whole != nil {
		pr.f("\n")
		for _, words := range r.Whole.Words {
			pr.f("%s\n", words)
		}
	}
	pr.f("\n")
	if err := describeShelf(w, r.Shelf); pr.err == nil {
		pr.err = err
	}
	return pr.err
}
