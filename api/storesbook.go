package api

import (
	"context"
	"errors"
	"fmt"

	"hardtack/db"
	"hardtack/pricing"
	"hardtack/pricing/calendar"
	"hardtack/pricing/measure"
	"hardtack/pricing/money"
	"hardtack/pricing/wording"
	"hardtack/route/inventory"
)

// ActEntry is what somebody did with goods, as people write it.
type ActEntry struct {
	Kind       inventory.MoveKind `json:"kind"`
	Day        calendar.Day       `json:"day,omitzero"`     // empty: today
	Lot        string             `json:"lot,omitempty"`    // else the item's lots, what goes first first
	Item       string             `json:"item,omitempty"`   // needed unless a lot is named
	Amount     string             `json:"amount,omitempty"` // "2.5 kg"; empty with all
	All        bool               `json:"all,omitempty"`
	At         string             `json:"at,omitempty"` // only from this locker or space
	To         string             `json:"to,omitempty"` // the locker or space it comes to
	Pack       string             `json:"pack,omitempty"`
	Port       string             `json:"port,omitempty"`
	BestBefore calendar.Day       `json:"best_before,omitzero"`
	For        inventory.Purpose  `json:"for,omitempty"`
	Cause      inventory.Cause    `json:"cause,omitempty"`
	Party      string             `json:"party,omitempty"`
	Loan       bool               `json:"loan,omitempty"`
	Paid       string             `json:"paid,omitempty"` // of the whole, in Currency
	Currency   string             `json:"currency,omitempty"`
	Note       string             `json:"note,omitempty"`
}

// Acted is what an act did.
type Acted struct {
	Moves []inventory.Move `json:"moves"`
	Lots  []inventory.Lot  `json:"lots"` // all that is aboard now
}

// Act does something with the goods aboard and writes it into the stores book:
// used, spoilt, moved, opened, given, bought … Errors: ErrInvalid, ErrNotFound
// (the vessel). It is done again when another change came between.
func (s *Service) Act(ctx context.Context, vesselID string, e ActEntry) (Kept[Acted], error) {
	b, err := s.boatOf(ctx, vesselID)
	if err != nil {
		return Kept[Acted]{}, err
	}
	for n := 0; ; n++ {
		lots, revision, err := s.db.Lots(ctx, vesselID)
		if err != nil {
			return Kept[Acted]{}, err
		}
		a, err := s.act(ctx, e, lots)
		if err != nil {
			return Kept[Acted]{}, err
		}
		after, moves, err := b.Do(lots, a, s.newID)
		if err != nil {
			return Kept[Acted]{}, invalid("stores book of "+vesselID, err)
		}
		revision, err = s.db.Book(ctx, vesselID, db.Booking{Lots: after, Moves: moves}, revision)
		if !errors.Is(err, ErrStale) || n == 5 {
			return Kept[Acted]{Acted{moves, after}, revision}, err
		}
	}
}

// act reads an entry.
func (s *Service) act(ctx context.Context, e ActEntry, lots []inventory.Lot) (inventory.Act, error) {
	rd, err := s.reader(ctx)
	if err != nil {
		return inventory.Act{}, err
	}
	a := inventory.Act{
		Kind: e.Kind, Day: e.Day, Lot: e.Lot, Item: pricing.ItemID(e.Item), At: e.At, All: e.All, To: e.To,
		Port: pricing.PortID(e.Port), BestBefore: e.BestBefore, For: e.For, Cause: e.Cause, Party: e.Party, Loan: e.Loan, Note: e.Note,
	}
	if a.Day.IsZero() {
		a.Day = rd.today
	}
	rd.day("day", a.Day)
	for _, l := range lots {
		if l.ID == e.Lot && e.Lot != "" {
			a.Item = l.Item
		}
	}
	it, known := s.world.Catalogue.Items[a.Item]
	if !known && e.Lot != "" {
		rd.faults.add("lot", quote(e.Lot), "the id of a lot that is aboard")
	} else if !known {
		it = rd.item("item", e.Item)
	}
	if e.Port != "" {
		rd.port("port", e.Port)
	}
	a.Quantity = rd.amount("amount", e.Amount, it.Unit, known)
	a.Pack = rd.amount("pack", e.Pack, it.Unit, known)
	a.Paid = rd.spent("", e.Paid, e.Currency)
	rd.text("party", e.Party, maxName)
	rd.text("note", e.Note, maxNote)
	return a, rd.faults.err("stores book")
}

func (rd *reader) amount(path, text string, u measure.Unit, known bool) measure.Quantity {
	if text == "" || !known {
		return 0
	}
	q, err := measure.ParsePack(text, u)
	if err != nil {
		rd.faults.add(path, quote(text), "an amount in "+measure.Wants(u))
	}
	return q
}

// spent is what was paid, if it was said.
func (rd *reader) spent(path, paid, currency string) money.Amount {
	if paid == "" && currency == "" {
		return money.Amount{}
	}
	c := money.Currency(currency)
	if err := money.CheckCurrency(c); err != nil {
		rd.faults.add(path+"currency", quote(currency), "an ISO 4217 code such as EUR, beside what was paid")
		return money.Amount{}
	}
	a, err := money.Parse(paid, c)
	if err != nil || a.Minor < 0 || a.Minor > maxMinor {
		rd.faults.say(path+"paid", wording.Say("fault.sum", wording.Text(quote(paid)), wording.Text(string(c))))
	}
	return a
}

// Moves are the lines of the stores book from one day to another, both
// included; a zero day is open.
func (s *Service) Moves(ctx context.Context, vesselID string, from, to calendar.Day) ([]inventory.Move, error) {
	if _, err := s.Vessel(ctx, vesselID); err != nil {
		return nil, err
	}
	moves, err := s.db.Moves(ctx, vesselID, from, to)
	if err != nil {
		return nil, fmt.Errorf("stores book: %w", err)
	}
	return moves, nil
}
