package inventory

import (
	"cmp"
	"errors"
	"fmt"
	"slices"

	"hardtack/pricing"
	"hardtack/pricing/calendar"
	"hardtack/pricing/item"
	"hardtack/pricing/measure"
	"hardtack/pricing/money"
	"hardtack/pricing/wording"
	"hardtack/route/vessel"
)

// Act is what somebody did, as told: "used 500 g of rice", "moved the onions
// to the net". What leaves is taken from Lot when it is named, else from the
// item's lots, opened packs first, then what must go first.
type Act struct {
	Kind       MoveKind
	Day        calendar.Day
	Lot        string
	Item       pricing.ItemID
	At         string // only from this locker or space; empty = anywhere
	Quantity   measure.Quantity
	All        bool   // instead of Quantity
	To         string // the locker or space it comes to
	Pack       measure.Quantity
	Port       pricing.PortID
	BestBefore calendar.Day
	For        Purpose
	Cause      Cause
	Party      string
	Loan       bool
	Paid       money.Amount
	Note       string
}

// Boat is what acts are checked against.
type Boat struct {
	Catalogue *item.Catalogue
	Vessel    vessel.Vessel
	Lockers   []vessel.Locker
}

// Place turns a locker or a space into both; a locker is looked for first.
// Its error is ErrInvalid.
func (b Boat) Place(name string) (space, locker string, err error) {
	if l, ok := vessel.FindLocker(b.Lockers, name); ok {
		return l.Space, l.ID, nil
	}
	if _, ok := b.Vessel.KindOf(name); ok {
		return name, "", nil
	}
	places := spacesOf(b.Vessel)
	for _, l := range b.Lockers {
		places = append(places, l.ID)
	}
	return "", "", refuse("place", oneOf(name, places))
}

// Do carries an act out: the lots after it and the lines of the stores book.
// It does not change lots. newID names new lots and lines. Its error is
// ErrInvalid, and then nothing was done.
func (b Boat) Do(lots []Lot, a Act, newID func() string) ([]Lot, []Move, error) {
	if err := b.checkAct(a); err != nil {
		return nil, nil, err
	}
	lots = slices.Clone(lots)
	if a.Kind.In() {
		return b.bring(lots, a, newID)
	}
	picked, err := b.pick(lots, a)
	if err != nil {
		return nil, nil, err
	}
	var moves []Move
	for _, p := range picked {
		m, err := b.apply(&lots, p, a, newID)
		if err != nil {
			return nil, nil, err
		}
		moves = append(moves, m)
	}
	return slices.DeleteFunc(lots, func(l Lot) bool { return l.Quantity <= 0 }), moves, nil
}

// refuse says that nothing was done, and why, by the path of the fault.
func refuse(path string, why error) error {
	return fmt.Errorf("stores book: %w, nothing was changed: %w", ErrInvalid, errors.Join(fmt.Errorf("%s: %w", path, why)))
}

func (b Boat) checkAct(a Act) error {
	_, known := b.Catalogue.Items[a.Item]
	switch {
	case !a.Kind.Known():
		return refuse("kind", oneOf(a.Kind, MoveKinds()))
	case a.Day.IsZero():
		return refuse("day", wording.Fail("fault.no_day"))
	case !known && (a.Kind.In() || a.Lot == ""):
		return refuse("item", unknownItem(string(a.Item), b.Catalogue))
	case a.Quantity < 0 || a.Quantity.Units() > maxUnits:
		return refuse("quantity", outside(a.Quantity))
	case (a.Quantity == 0) != a.All && a.Kind != Opened:
		return refuse("quantity", wording.Fail("fault.amount"))
	case a.Kind == Spoilt && !a.Cause.Known():
		return refuse("cause", oneOf(a.Cause, Causes()))
	case a.Kind == Moved && a.To == "":
		return refuse("to", wording.Fail("fault.move_to"))
	case a.Kind.In() && a.All:
		return refuse("quantity", wording.Fail("fault.comes"))
	case !slices.Contains([]Purpose{Eaten, Barter, Emergency, Bonded}, a.For):
		return refuse("for", wording.Fail("fault.for", wording.Text(string(a.For))))
	}
	return nil
}

// bring adds a lot.
func (b Boat) bring(lots []Lot, a Act, newID func() string) ([]Lot, []Move, error) {
	space, locker, err := b.Place(a.To)
	if err != nil {
		return nil, nil, err
	}
	l := Lot{
		ID: newID(), Item: a.Item, Space: space, Locker: locker, Quantity: a.Quantity, Pack: a.Pack,
		Bought: a.Day, Port: a.Port, BestBefore: a.BestBefore, For: a.For, Note: a.Note,
	}
	if err := b.check(l); err != nil {
		return nil, nil, refuse("lot", err)
	}
	return append(lots, l), []Move{entryOf(a, l, a.Quantity, "", l.Place(), newID())}, nil
}

func entryOf(a Act, l Lot, q measure.Quantity, from, to, id string) Move {
	return Move{
		ID: id, Day: a.Day, Kind: a.Kind, Lot: l.ID, Item: l.Item, Quantity: q, From: from, To: to, Cause: a.Cause,
		Party: a.Party, Loan: a.Loan, For: l.For, Port: a.Port, Paid: a.Paid, Note: a.Note,
	}
}

// portion is a part of a lot, by the lot's id.
type portion struct {
	lot      string
	quantity measure.Quantity
}

// pick finds the portions an act takes.
func (b Boat) pick(lots []Lot, a Act) ([]portion, error) {
	var from []Lot
	for _, l := range lots {
		switch {
		case a.Lot != "" && l.ID != a.Lot, a.Lot == "" && l.Item != a.Item:
		case a.At != "" && l.Space != a.At && l.Locker != a.At:
		case a.Lot == "" && l.For != a.For: // the safety stock is not lunch unless it is named
		default:
			from = append(from, l)
		}
	}
	slices.SortStableFunc(from, first)
	if a.Kind == Opened && a.Quantity == 0 && len(from) > 0 {
		a.Quantity = from[0].onePack()
	}
	left := a.Quantity
	var out []portion
	for _, l := range from {
		q := l.Quantity
		if !a.All {
			q = min(q, left)
		}
		if q > 0 {
			out = append(out, portion{l.ID, q})
			left -= q
		}
	}
	if len(out) == 0 || left > 0 && !a.All {
		i := b.meant(a.Item, from)
		return nil, refuse("quantity", wording.Fail("fault.book", wording.Amount(a.Quantity.Units(), i.Unit), wording.Item(string(i.ID), i.Name),
			wording.Amount((a.Quantity-left).Units(), i.Unit)))
	}
	return out, nil
}

func (l Lot) onePack() measure.Quantity {
	if l.Pack > 0 {
		return min(l.Pack, l.Quantity)
	}
	return l.Quantity
}

// first orders lots by what must go first: opened, then by date, then by the
// day they came; what bears no date goes last.
func first(x, y Lot) int {
	return cmp.Or(
		cmp.Compare(late(x.Opened), late(y.Opened)), cmp.Compare(late(x.BestBefore), late(y.BestBefore)),
		cmp.Compare(late(x.Bought), late(y.Bought)),
	)
}

func late(d calendar.Day) calendar.Day {
	if d.IsZero() {
		return 1 << 30
	}
	return d
}

// apply changes one lot; a part that is moved or opened becomes a lot of its own.
func (b Boat) apply(lots *[]Lot, p portion, a Act, newID func() string) (Move, error) {
	k := slices.IndexFunc(*lots, func(l Lot) bool { return l.ID == p.lot })
	was := (*lots)[k]
	if a.Kind.Out() {
		(*lots)[k].Quantity -= p.quantity
		return entryOf(a, was, p.quantity, was.Place(), "", newID()), nil
	}
	now := was
	now.Quantity = p.quantity
	if a.Kind == Opened {
		now.Opened = a.Day
	}
	if a.To != "" {
		var err error
		if now.Space, now.Locker, err = b.Place(a.To); err != nil {
			return Move{}, err
		}
	}
	if p.quantity < was.Quantity {
		(*lots)[k].Quantity -= p.quantity
		now.ID = newID()
		*lots = append(*lots, now)
	} else {
		(*lots)[k] = now
	}
	return entryOf(a, now, p.quantity, was.Place(), now.Place(), newID()), nil
}

// meant is the item an act is about: that of the first lot it would take.
func (b Boat) meant(id pricing.ItemID, from []Lot) item.Item {
	if len(from) > 0 {
		id = from[0].Item
	}
	i := b.Catalogue.Items[id]
	i.ID, i.Name = id, cmp.Or(i.Name, string(id))
	return i
}
