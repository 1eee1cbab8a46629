package main

import (
	"io"

	"hardtack/api"
	"hardtack/pricing/calendar"
	"hardtack/pricing/item"
	"hardtack/route/inventory"
)

// act does something with the goods and prints the lines of the stores book.
func (sh *shell) act(c *cli, e api.ActEntry) error {
	return sh.aboard(c, func(s *api.Service, id string) error {
		kept, err := s.Act(sh.ctx, id, e)
		if err != nil {
			return err
		}
		return sh.emit(kept, func(w io.Writer) error { return describeMoves(w, kept.Value.Moves, s.World().Catalogue) })
	})
}

func describeMoves(w io.Writer, moves []inventory.Move, cat *item.Catalogue) error {
	p := columns(w)
	if len(moves) == 0 {
		p.f("Nothing is written there.\n")
	}
	for _, m := range moves {
		i := cat.Items[m.Item]
		p.f("%s\t%s\t%s\t%s\t%s\n", m.Day, m.Kind, m.Quantity.Format(i.Unit), i.Name, moveWords(m))
	}
	return p.end()
}

// moveWords is where from and to, with whom and why.
func moveWords(m inventory.Move) string {
	text := m.From
	if m.To != "" && m.To != m.From {
		if text != "" {
			text += " "
		}
		text += "to " + m.To
	}
	for _, more := range []string{string(m.Cause), m.Party, string(m.For), m.Note} {
		if more != "" {
			text += ", " + more
		}
	}
	if m.Loan {
		text += ", a loan"
	}
	return text
}

// goods name what an act takes.
type goods struct {
	What   string       `arg:"" help:"Id of an item, or of a lot as aboard show tells it."`
	Amount string       `arg:"" optional:"" help:"\"2.5 kg\", \"6\"; all of it when left out."`
	At     string       `help:"Only from this locker or space." placeholder:"PLACE"`
	Day    calendar.Day `help:"The day it happened; default today." placeholder:"DAY"`
	Note   string       `help:"Anything."`
}

// entry is the act of a kind; what is no item is taken for a lot.
func (g goods) entry(sh *shell, c *cli, kind inventory.MoveKind, more func(*api.ActEntry)) error {
	e := api.ActEntry{Kind: kind, Amount: g.Amount, All: g.Amount == "" && kind != inventory.Opened, At: g.At, Day: g.Day, Note: g.Note, Item: g.What}
	err := sh.aboard(c, func(s *api.Service, id string) error {
		kept, err := s.Aboard(sh.ctx, id)
		for _, l := range kept.Value {
			if l.ID == g.What {
				e.Lot, e.Item = l.ID, string(l.Item)
			}
		}
		return err
	})
	if err != nil {
		return err
	}
	more(&e)
	return sh.act(c, e)
}

type aboardUseCmd struct{ goods }

// Run books goods as used.
func (x *aboardUseCmd) Run(c *cli, sh *shell) error {
	return x.entry(sh, c, inventory.Used, func(*api.ActEntry) {})
}

type aboardSpoilCmd struct {
	goods
	Cause inventory.Cause `required:"" help:"overdue, mould, rot, sprouted, rust, wet, heat, thawed, chilled, crushed, insects, vermin, disliked, other."`
}

// Run books goods as thrown away.
func (x *aboardSpoilCmd) Run(c *cli, sh *shell) error {
	return x.entry(sh, c, inventory.Spoilt, func(e *api.ActEntry) { e.Cause = x.Cause })
}

type aboardMoveCmd struct {
	goods
	To string `required:"" help:"The locker or space." placeholder:"PLACE"`
}

// Run moves goods.
func (x *aboardMoveCmd) Run(c *cli, sh *shell) error {
	return x.entry(sh, c, inventory.Moved, func(e *api.ActEntry) { e.To = x.To })
}

type aboardOpenCmd struct {
	goods
	To string `help:"Where the opened pack goes, such as the fridge." placeholder:"PLACE"`
}

// Run opens a pack.
func (x *aboardOpenCmd) Run(c *cli, sh *shell) error {
	return x.entry(sh, c, inventory.Opened, func(e *api.ActEntry) { e.To = x.To })
}

type aboardGiveCmd struct {
	goods
	Who  string            `help:"Whom; a boat or a place is enough." placeholder:"WHO"`
	Loan bool              `help:"To be given back."`
	From inventory.Purpose `help:"Out of which stock: barter, emergency or bonded; default what is to be eaten." placeholder:"STOCK"`
}

// Run books what is given.
func (x *aboardGiveCmd) Run(c *cli, sh *shell) error {
	return x.entry(sh, c, inventory.Given, func(e *api.ActEntry) { e.Party, e.Loan, e.For = x.Who, x.Loan, x.From })
}

type aboardGetCmd struct {
	Item       string             `arg:"" help:"Id of the item."`
	Amount     string             `arg:"" help:"\"2.5 kg\", \"6\", \"12 x 330 ml\"."`
	To         string             `required:"" help:"The locker or space it goes to." placeholder:"PLACE"`
	How        inventory.MoveKind `default:"bought" help:"bought, got (a gift, a trade, a loan) or caught."`
	Who        string             `help:"From whom." placeholder:"WHO"`
	Loan       bool               `help:"To be given back."`
	For        inventory.Purpose  `help:"barter, emergency or bonded; default to be eaten." placeholder:"STOCK"`
	Pack       string             `help:"One pack of it." placeholder:"AMOUNT"`
	Port       string             `help:"Where bought." placeholder:"PORT"`
	BestBefore calendar.Day       `help:"The date on the pack." placeholder:"DAY"`
	Paid       string             `help:"What all of it cost, such as \"12.50 EUR\"." placeholder:"SUM"`
	Day        calendar.Day       `help:"The day; default today." placeholder:"DAY"`
	Note       string             `help:"Anything."`
}

// Run books what comes aboard.
func (x *aboardGetCmd) Run(c *cli, sh *shell) error {
	paid, currency := sumOf(x.Paid)
	return sh.act(c, api.ActEntry{
		Kind: x.How, Day: x.Day, Item: x.Item, Amount: x.Amount, To: x.To, Party: x.Who, Loan: x.Loan, For: x.For, Pack: x.Pack,
		Port: x.Port, BestBefore: x.BestBefore, Paid: paid, Currency: currency, Note: x.Note,
	})
}

type aboardBookCmd struct {
	From calendar.Day `help:"From this day on." placeholder:"DAY"`
	To   calendar.Day `help:"Up to this day." placeholder:"DAY"`
}

// Run shows the stores book.
func (x *aboardBookCmd) Run(c *cli, sh *shell) error {
	return sh.aboard(c, func(s *api.Service, id string) error {
		moves, err := s.Moves(sh.ctx, id, x.From, x.To)
		if err != nil {
			return err
		}
		return sh.emit(moves, func(w io.Writer) error { return describeMoves(w, moves, s.World().Catalogue) })
	})
}

type aboardFindCmd struct {
	What string `arg:"" help:"A word for it."`
}

// Run says where a thing lies.
func (x *aboardFindCmd) Run(c *cli, sh *shell) error {
	return sh.aboard(c, func(s *api.Service, id string) error {
		spots, err := s.Find(sh.ctx, id, x.What)
		if err != nil {
			return err
		}
		return sh.emit(spots, func(w io.Writer) error {
			p := printer{w: w}
			if len(spots) == 0 {
				p.f("Nothing of that is in the book.\n")
			}
			for _, x := range spots {
				p.f("%s: %s in %s\n", x.Name, x.Quantity.Format(x.Unit), x.Place)
			}
			return p.err
		})
	})
}
