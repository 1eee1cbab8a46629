package main

import (
	"io"

	"hardtack/api"
	"hardtack/pricing/calendar"
	"hardtack/pricing/item"
	"hardtack/route/inventory"
)

type aboardCmd struct {
	Vessel string `help:"Which vessel; default the only one." placeholder:"ID"`

	Show   aboardShowCmd   `cmd:"" default:"1" help:"Show what is aboard, by space."`
	Find   aboardFindCmd   `cmd:"" help:"Say where a thing lies."`
	Sheet  aboardSheetCmd  `cmd:"" help:"Print a count sheet, by locker."`
	Count  aboardCountCmd  `cmd:"" aliases:"set" help:"Make a filled-in count, a CSV file, what is aboard; explain the difference and learn from it."`
	Add    aboardAddCmd    `cmd:"" help:"Add a lot."`
	Remove aboardRemoveCmd `cmd:"" help:"Take lots away, by id: a slip of the pen, not in the stores book."`

	Use   aboardUseCmd   `cmd:"" help:"Book goods as used."`
	Spoil aboardSpoilCmd `cmd:"" help:"Book goods as thrown away, and why."`
	Move  aboardMoveCmd  `cmd:"" help:"Move goods to another locker or space."`
	Open  aboardOpenCmd  `cmd:"" help:"Open a pack."`
	Give  aboardGiveCmd  `cmd:"" help:"Book a gift, a trade or a loan to somebody."`
	Get   aboardGetCmd   `cmd:"" help:"Book what comes aboard: bought, caught, a gift, a trade, a loan."`
	Book  aboardBookCmd  `cmd:"" help:"Show the stores book."`

	Lockers aboardLockersCmd `cmd:"" help:"Show and change the lockers within the spaces."`
	Stow    aboardStowCmd    `cmd:"" help:"Propose a locker for what the plan buys at a stop."`
	Usage   aboardUsageCmd   `cmd:"" help:"Say what the crew really uses, beside the list."`
	First   aboardFirstCmd   `cmd:"" help:"Say what to eat first, and why."`
	Arrive  aboardArriveCmd  `cmd:"" help:"Prepare the next border: what is taken, what to eat down, the list to declare, the stores to seal."`
	Water   aboardWaterCmd   `cmd:"" help:"Say how long water lasts, and how to treat it."`
	Gas     aboardGasCmd     `cmd:"" help:"Say how long gas lasts."`
	Pests   aboardPestsCmd   `cmd:"" help:"Say where insects threaten and what to do."`
	Note    aboardNoteCmd    `cmd:"" help:"Write an exception into the stores' log: a reading, guests, a swap."`
	Hints   aboardHintsCmd   `cmd:"" help:"Say what the log has to say before the shopping at a stop: bad goods, pests, what places ahead wish for."`
	Log     aboardLogCmd     `cmd:"" help:"Show the stores' log."`
	Review  aboardReviewCmd  `cmd:"" help:"Look back: used, spent and lost, and next season's list."`
	Ledger  aboardLedgerCmd  `cmd:"" help:"Show gifts, trades and loans between boats."`
	Export  aboardExportCmd  `cmd:"" help:"Write the stores, the book, counts and review as CSV or a spreadsheet."`
	Fridge  aboardFridgeCmd  `cmd:"" help:"Say what to rescue first when the fridge has failed."`
}

// Help implements kong's HelpProvider.
func (aboardCmd) Help() string {
	return `What lies in the lockers. A count is a CSV file with the columns item, space (or
locker), amount ("2.5 kg", "12 x 330 ml", "6"; 0 is nothing left, = is as the book
says) and, if wanted, best_before, mark (ran out, left over, hated), spoilt and
cause. "aboard sheet --csv" writes one to fill in.

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
	p := columns(w)
	if len(lots) == 0 {
		p.f("Nothing is entered as aboard.\n")
	}
	for _, l := range lots {
		i := cat.Items[l.Item]
		p.f("%s\t%s\t%s\t%s\t%s\t%s\n", l.Place(), i.Name, l.Quantity.Format(i.Unit), l.BestBefore, l.For, l.ID)
	}
	return p.end()
}

type aboardSheetCmd struct {
	CSV bool   `name:"csv" help:"As the CSV file that aboard count reads."`
	Out string `short:"o" help:"File to write; default standard output." placeholder:"FILE"`
}

// Run prints the sheet.
func (x *aboardSheetCmd) Run(c *cli, sh *shell) error {
	return sh.aboard(c, func(s *api.Service, id string) error {
		return sh.to(x.Out, func(w io.Writer) error { return s.CountSheet(sh.ctx, w, id, x.CSV) })
	})
}

type aboardCountCmd struct {
	File    string       `arg:"" help:"A CSV file; - is standard input."`
	Partial bool         `help:"Only what is listed was counted; the rest stays as the book has it."`
	Crew    string       `help:"Who used it; default the only crew." placeholder:"ID"`
	Day     calendar.Day `help:"The day it was counted; default today." placeholder:"DAY"`
}

// Run keeps the count and says what it tells.
func (x *aboardCountCmd) Run(c *cli, sh *shell) error {
	return sh.aboard(c, func(s *api.Service, id string) error {
		f, err := sh.open(x.File)
		if err != nil {
			return err
		}
		defer f.Close()
		kept, err := s.Count(sh.ctx, id, f, api.CountOptions{Day: x.Day, Partial: x.Partial, Crew: x.Crew}, api.AnyRevision)
		if err != nil {
			return err
		}
		return sh.emit(kept, func(w io.Writer) error {
			p := printer{w: w}
			for _, l := range kept.Value.Lines {
				p.f("%s: %s\n", l.Name, l.Words)
			}
			for _, l := range kept.Value.Learned {
				p.f("%s\n", l.Words)
			}
			p.f("%d lots are aboard now.\n", len(kept.Value.Lots))
			return p.err
		})
	})
}

type aboardAddCmd struct {
	Item       string       `arg:"" help:"Id of the item."`
	Amount     string       `arg:"" help:"\"2.5 kg\", \"6\", \"12 x 330 ml\"."`
	Space      string       `required:"" help:"Where it lies: the name of a locker or a space, or a kind."`
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
