package main

import (
	"io"
	"text/tabwriter"

	"hardtack/api"
	"hardtack/pricing/calendar"
	"hardtack/pricing/item"
	"hardtack/route/inventory"
)

type aboardCmd struct {
	Vessel string `help:"Which vessel; default the only one." placeholder:"ID"`

	Show   aboardShowCmd   `cmd:"" default:"1" help:"Show what is aboard, by space."`
	Sheet  aboardSheetCmd  `cmd:"" help:"Print a count sheet."`
	Set    aboardSetCmd    `cmd:"" help:"Make a filled-in count, a CSV file, all that is aboard."`
	Add    aboardAddCmd    `cmd:"" help:"Add a lot."`
	Remove aboardRemoveCmd `cmd:"" help:"Take lots away, by id."`
}

// Help implements kong's HelpProvider.
func (aboardCmd) Help() string {
	return `What lies in the lockers. A count is a CSV file with the columns item, space,
amount and best_before ("2.5 kg", "12 x 330 ml", "6").

Example:
  hardtack aboard set aboard.csv`
}

type aboardShowCmd struct{}

// Run shows the lots.
func (aboardShowCmd) Run(c *cli, sh *shell) error {
	return sh.aboard(c, func(s *api.Service, id string) error {
		kept, err := s.Aboard(sh.ctx, id)
		if err != nil {
			return err
		}
		return sh.emitLots(s, kept)
	})
}

func (sh *shell) aboard(c *cli, f func(*api.Service, string) error) error {
	return sh.service(func(s *api.Service) error {
		id, err := sh.vesselOf(s, c.Aboard.Vessel)
		if err != nil {
			return err
		}
		return f(s, id)
	})
}

func (sh *shell) emitLots(s *api.Service, kept api.Kept[[]inventory.Lot]) error {
	return sh.emit(kept, func(w io.Writer) error { return describeLots(w, kept.Value, s.World().Catalogue) })
}

func describeLots(w io.Writer, lots []inventory.Lot, cat *item.Catalogue) error {
	t := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	p := printer{w: t}
	if len(lots) == 0 {
		p.f("Nothing is entered as aboard.\n")
	}
	for _, l := range lots {
		i := cat.Items[l.Item]
		p.f("%s\t%s\t%s\t%s\t%s\n", l.Space, i.Name, l.Quantity.Format(i.Unit), l.BestBefore, l.ID)
	}
	if p.err != nil {
		return p.err
	}
	return t.Flush()
}

type aboardSheetCmd struct {
	Out string `short:"o" help:"File to write; default standard output." placeholder:"FILE"`
}

// Run prints the sheet.
func (x *aboardSheetCmd) Run(c *cli, sh *shell) error {
	return sh.aboard(c, func(s *api.Service, id string) error {
		return sh.to(x.Out, func(w io.Writer) error { return s.CountSheet(sh.ctx, w, id) })
	})
}

type aboardSetCmd struct {
	File string `arg:"" help:"A CSV file; - is standard input."`
}

// Run keeps the count.
func (x *aboardSetCmd) Run(c *cli, sh *shell) error {
	return sh.aboard(c, func(s *api.Service, id string) error {
		f, err := sh.open(x.File)
		if err != nil {
			return err
		}
		defer f.Close()
		kept, err := s.Count(sh.ctx, id, f, api.AnyRevision)
		if err != nil {
			return err
		}
		return sh.emitLots(s, kept)
	})
}

type aboardAddCmd struct {
	Item       string       `arg:"" help:"Id of the item."`
	Amount     string       `arg:"" help:"\"2.5 kg\", \"6\", \"12 x 330 ml\"."`
	Space      string       `required:"" help:"Where it lies: the name of a space, or a kind."`
	BestBefore calendar.Day `help:"The date on the pack." placeholder:"DAY"`
	Bought     calendar.Day `help:"The day it was bought." placeholder:"DAY"`
	Note       string       `help:"Anything."`
}

// Run adds the lot.
func (x *aboardAddCmd) Run(c *cli, sh *shell) error {
	return sh.aboard(c, func(s *api.Service, id string) error {
		kept, err := s.Change(sh.ctx, id, api.ChangeAboard{Add: []api.LotEntry{{
			Item: x.Item, Amount: x.Amount, Space: x.Space, BestBefore: x.BestBefore, Bought: x.Bought, Note: x.Note,
		}}})
		if err != nil {
			return err
		}
		return sh.emitLots(s, kept)
	})
}

type aboardRemoveCmd struct {
	IDs []string `arg:"" help:"Ids of lots, as aboard shows them."`
}

// Run takes the lots away.
func (x *aboardRemoveCmd) Run(c *cli, sh *shell) error {
	return sh.aboard(c, func(s *api.Service, id string) error {
		kept, err := s.Change(sh.ctx, id, api.ChangeAboard{Remove: x.IDs})
		if err != nil {
			return err
		}
		return sh.emitLots(s, kept)
	})
}
