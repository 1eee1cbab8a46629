package api

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"slices"

	"hardtack/db"
	"hardtack/pricing"
	"hardtack/pricing/calendar"
	"hardtack/pricing/measure"
	"hardtack/pricing/money"
	"hardtack/route/inventory"
	"hardtack/route/vessel"
)

// LotEntry is a lot as people write it.
type LotEntry struct {
	ID         string       `json:"id,omitempty"` // empty: made here
	Item       string       `json:"item"`
	Space      string       `json:"space,omitempty"` // or the name of a locker; may be left out beside one
	Locker     string       `json:"locker,omitempty"`
	Amount     string       `json:"amount"` // "2.5 kg", "6", "12 x 330 ml"
	Pack       string       `json:"pack,omitempty"`
	Port       string       `json:"port,omitempty"` // where bought
	Bought     calendar.Day `json:"bought,omitzero"`
	BestBefore calendar.Day `json:"best_before,omitzero"`
	Opened     calendar.Day `json:"opened,omitzero"`

	For  inventory.Purpose `json:"for,omitempty"` // barter, emergency, bonded; empty: to be eaten
	Note string            `json:"note,omitempty"`

	Paid     string `json:"paid,omitempty"` // for all of it, in Currency; goes into the stores book
	Currency string `json:"currency,omitempty"`
}

// LotEntryOf writes a lot as an entry that would give the same lot.
func (s *Service) LotEntryOf(l inventory.Lot) LotEntry {
	unit := s.world.Catalogue.Items[l.Item].Unit
	e := LotEntry{
		ID: l.ID, Item: string(l.Item), Space: l.Space, Locker: l.Locker, Amount: l.Quantity.Format(unit), Port: string(l.Port),
		Bought: l.Bought, BestBefore: l.BestBefore, Opened: l.Opened, For: l.For, Note: l.Note,
	}
	if l.Pack > 0 {
		e.Pack = l.Pack.Format(unit)
	}
	return e
}

// Aboard gives what is aboard a vessel and the inventory's revision.
func (s *Service) Aboard(ctx context.Context, vesselID string) (Kept[[]inventory.Lot], error) {
	if _, err := s.Vessel(ctx, vesselID); err != nil {
		return Kept[[]inventory.Lot]{}, err
	}
	lots, revision, err := s.db.Lots(ctx, vesselID)
	return Kept[[]inventory.Lot]{lots, revision}, err
}

// PutAboard makes the entries all that is aboard. Errors: ErrInvalid naming
// every fault, ErrStale, ErrNotFound (the vessel).
func (s *Service) PutAboard(ctx context.Context, vesselID string, entries []LotEntry, expect int64) (Kept[[]inventory.Lot], error) {
	b, err := s.boatOf(ctx, vesselID)
	if err != nil {
		return Kept[[]inventory.Lot]{}, err
	}
	lots, err := s.lots(b, entries)
	if err != nil {
		return Kept[[]inventory.Lot]{}, err
	}
	return s.setLots(ctx, b, lots, expect)
}

// ChangeAboard is a change of what is aboard: lots that come, lots that are
// different now, ids of lots that are gone.
type ChangeAboard struct {
	Add    []LotEntry `json:"add,omitempty"`
	Set    []LotEntry `json:"set,omitempty"`
	Remove []string   `json:"remove,omitempty"`
}

// Change applies a change to whatever is aboard, all of it or nothing, and
// again when another came between. What comes is written into the stores book as
// bought; what is set or removed corrects a slip and is not. A lot added again under its id is an
// ErrConflict unless it is the same; one to set or remove that is not there is
// ErrNotFound.
func (s *Service) Change(ctx context.Context, vesselID string, c ChangeAboard) (Kept[[]inventory.Lot], error) {
	b, err := s.boatOf(ctx, vesselID)
	if err != nil {
		return Kept[[]inventory.Lot]{}, err
	}
	add, err := s.lots(b, c.Add)
	if err != nil {
		return Kept[[]inventory.Lot]{}, err
	}
	paid, err := paidOf(c.Add, add)
	if err != nil {
		return Kept[[]inventory.Lot]{}, err
	}
	set, err := s.lots(b, c.Set)
	if err != nil {
		return Kept[[]inventory.Lot]{}, err
	}
	for n := 0; ; n++ {
		lots, revision, err := s.db.Lots(ctx, vesselID)
		if err != nil {
			return Kept[[]inventory.Lot]{}, err
		}
		was := slices.Clone(lots)
		lots, err = changed(lots, add, set, c.Remove)
		if err != nil {
			return Kept[[]inventory.Lot]{}, fmt.Errorf("aboard %s: %w; nothing was changed", vesselID, err)
		}
		kept, err := s.book(ctx, b, lots, s.comings(was, add, paid), revision)
		if !errors.Is(err, ErrStale) || n == 5 {
			return kept, err
		}
	}
}

func changed(lots, add, set []inventory.Lot, remove []string) ([]inventory.Lot, error) {
	at := func(id string) int {
		return slices.IndexFunc(lots, func(l inventory.Lot) bool { return l.ID == id })
	}
	for _, id := range remove {
		i := at(id)
		if i < 0 {
			return nil, fmt.Errorf("lot %q: %w", id, ErrNotFound)
		}
		lots = slices.Delete(lots, i, i+1)
	}
	for _, l := range set {
		i := at(l.ID)
		if i < 0 {
			return nil, fmt.Errorf("lot %q: %w", l.ID, ErrNotFound)
		}
		lots[i] = l
	}
	for _, l := range add {
		i := at(l.ID)
		switch {
		case i < 0:
			lots = append(lots, l)
		case lots[i] != l:
			return nil, fmt.Errorf("lot %q: %w", l.ID, ErrConflict)
		}
	}
	return lots, nil
}

func (s *Service) lots(b inventory.Boat, entries []LotEntry) ([]inventory.Lot, error) {
	var fs faults
	out := make([]inventory.Lot, len(entries))
	for i, e := range entries {
		path := fmt.Sprintf("lots[%d].", i)
		it, ok := s.world.Catalogue.Items[pricing.ItemID(e.Item)]
		if !ok {
			fs.add(path+"item", quote(e.Item), "the id of an item", itemsLike(s.world.Catalogue, e.Item)...)
			continue
		}
		out[i] = inventory.Lot{
			ID: e.ID, Item: it.ID, Space: e.Space, Locker: e.Locker, Port: pricing.PortID(e.Port), Bought: e.Bought,
			BestBefore: e.BestBefore, Opened: e.Opened, For: e.For, Note: e.Note,
		}
		if l, ok := vessel.FindLocker(b.Lockers, cmp.Or(e.Locker, e.Space)); ok && (e.Space == "" || e.Locker == "") {
			out[i].Space, out[i].Locker = l.Space, l.ID
		}
		for _, q := range []struct {
			name, text string
			into       *measure.Quantity
		}{{"amount", e.Amount, &out[i].Quantity}, {"pack", e.Pack, &out[i].Pack}} {
			var err error
			if q.text == "" && q.name == "pack" {
				continue
			}
			if *q.into, err = measure.ParsePack(q.text, it.Unit); err != nil {
				fs.add(path+q.name, quote(q.text), "an amount in "+measure.Wants(it.Unit))
			}
		}
		if e.ID == "" {
			out[i].ID = s.newID()
		}
	}
	return out, fs.err("aboard")
}

// paidOf is what was said to be paid for lots, by their ids.
func paidOf(entries []LotEntry, lots []inventory.Lot) (map[string]money.Amount, error) {
	var rd reader
	out := map[string]money.Amount{}
	for i, e := range entries {
		out[lots[i].ID] = rd.spent(fmt.Sprintf("lots[%d].", i), e.Paid, e.Currency)
	}
	return out, rd.faults.err("aboard")
}

// comings are the lines of the stores book for lots that were not there.
func (s *Service) comings(was, add []inventory.Lot, paid map[string]money.Amount) []inventory.Move {
	var out []inventory.Move
	for _, l := range add {
		if slices.ContainsFunc(was, func(o inventory.Lot) bool { return o.ID == l.ID }) {
			continue
		}
		day := s.Today()
		if !l.Bought.IsZero() {
			day = l.Bought
		}
		out = append(out, inventory.Move{
			ID: s.newID(), Day: day, Kind: inventory.Bought, Lot: l.ID, Item: l.Item, Quantity: l.Quantity, To: l.Place(), For: l.For, Port: l.Port,
			Paid: paid[l.ID],
		})
	}
	return out
}

func (s *Service) setLots(ctx context.Context, b inventory.Boat, lots []inventory.Lot, expect int64) (Kept[[]inventory.Lot], error) {
	return s.book(ctx, b, lots, nil, expect)
}

func (s *Service) book(ctx context.Context, b inventory.Boat, lots []inventory.Lot, moves []inventory.Move, expect int64) (Kept[[]inventory.Lot], error) {
	if err := b.Validate(lots); err != nil {
		return Kept[[]inventory.Lot]{}, invalid("aboard "+b.Vessel.ID, err)
	}
	revision, err := s.db.Book(ctx, b.Vessel.ID, db.Booking{Lots: lots, Moves: moves}, expect)
	if errors.Is(err, db.ErrInvalid) {
		err = invalid("aboard "+b.Vessel.ID, err)
	}
	return Kept[[]inventory.Lot]{lots, revision}, err
}
