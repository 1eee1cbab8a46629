package inventory

import (
	"fmt"
	"slices"

	"hardtack/pricing"
	"hardtack/pricing/calendar"
	"hardtack/pricing/measure"
)

// Difference is what a count says of one item, all places together.
type Difference struct {
	Item    pricing.ItemID   `json:"item"`
	Book    measure.Quantity `json:"book"` // before the count
	Counted measure.Quantity `json:"counted"`
	Spoilt  measure.Quantity `json:"spoilt"`           // as told with the count
	Used    measure.Quantity `json:"used"`             // gone and not told otherwise: taken as used
	Found   measure.Quantity `json:"found"`            // more there than the book had
	Missing measure.Quantity `json:"missing,omitzero"` // gone of what was not for the table: barter, bonded, emergency
	Mark    Mark             `json:"mark,omitempty"`
}

// Recounted is the inventory after a count.
type Recounted struct {
	Lots        []Lot        `json:"lots"`
	Moves       []Move       `json:"moves"`
	Differences []Difference `json:"differences"` // of every item counted or in the book, in the book's order
}

// Recount makes a count the book. What is left of an item is taken for its
// latest lots, since the earliest are eaten first; lots keep their id, the day
// and port they were bought and the pack, wherever they were found. What is
// gone is used, unless it was told as spoilt. With partial only the items
// counted change; else an item not counted is gone.
func (b Boat) Recount(book []Lot, rows []Row, day calendar.Day, partial bool, newID func() string) Recounted {
	var out Recounted
	for _, id := range itemsOf(book, rows) {
		mine := slices.DeleteFunc(slices.Clone(rows), func(r Row) bool { return r.Item != id })
		if partial && len(mine) == 0 {
			for _, l := range book {
				if l.Item == id {
					out.Lots = append(out.Lots, l)
				}
			}
			continue
		}
		c := recounting{item: id, rows: mine, day: day, newID: newID}
		for _, l := range book {
			if l.Item == id {
				c.left = append(c.left, l)
				c.diff.Book += l.Quantity
			}
		}
		c.run()
		out.Lots = append(out.Lots, c.lots...)
		out.Moves = append(out.Moves, c.moves...)
		out.Differences = append(out.Differences, c.diff)
	}
	return out
}

func itemsOf(book []Lot, rows []Row) []pricing.ItemID {
	var out []pricing.ItemID
	add := func(id pricing.ItemID) {
		if !slices.Contains(out, id) {
			out = append(out, id)
		}
	}
	for _, l := range book {
		add(l.Item)
	}
	for _, r := range rows {
		add(r.Item)
	}
	return out
}

// recounting is the count of one item under way.
type recounting struct {
	item  pricing.ItemID
	rows  []Row
	day   calendar.Day
	newID func() string

	left  []Lot // of the book, not yet found
	lots  []Lot
	moves []Move
	diff  Difference
}

func (c *recounting) run() {
	c.diff.Item = c.item
	slices.SortStableFunc(c.left, func(a, b Lot) int { return first(b, a) }) // the latest is what remains
	spoilt := map[Cause]measure.Quantity{}
	for k := range c.rows {
		r := &c.rows[k]
		c.diff.Counted += r.Quantity
		spoilt[r.Cause] += r.Spoilt
		c.diff.Spoilt += r.Spoilt
		if r.Mark != "" {
			c.diff.Mark = r.Mark
		}
		c.match(r, func(l Lot) bool {
			return l.Space == r.Space && l.Locker == r.Locker && (r.BestBefore.IsZero() || l.BestBefore == r.BestBefore)
		})
	}
	for k := range c.rows { // found elsewhere than the book has it
		c.match(&c.rows[k], func(Lot) bool { return true })
	}
	for _, r := range c.rows {
		c.surplus(r)
	}
	c.gone(spoilt)
}

// match puts what a row counted to lots of the book and takes both off.
func (c *recounting) match(r *Row, fits func(Lot) bool) {
	for k := range c.left {
		l := &c.left[k]
		q := min(l.Quantity, r.Quantity)
		if q <= 0 || !fits(*l) {
			continue
		}
		now := *l
		now.Quantity, now.Space, now.Locker = q, r.Space, r.Locker
		if !r.BestBefore.IsZero() {
			now.BestBefore = r.BestBefore
		}
		l.Quantity -= q
		r.Quantity -= q
		c.keep(now)
		if now.Place() != l.Place() {
			c.note(Moved, now, q, l.Place(), now.Place(), "")
		}
	}
}

// keep adds to the lots after the count; a lot found in two places is two.
func (c *recounting) keep(l Lot) {
	for k := range c.lots {
		if o := c.lots[k]; o.ID == l.ID && o.Space == l.Space && o.Locker == l.Locker && o.BestBefore == l.BestBefore {
			c.lots[k].Quantity += l.Quantity
			return
		}
	}
	if slices.ContainsFunc(c.lots, func(o Lot) bool { return o.ID == l.ID }) {
		l.ID = c.newID()
	}
	c.lots = append(c.lots, l)
}

// surplus is more than the book had: of the latest lot found there, or one
// nobody knows where from.
func (c *recounting) surplus(r Row) {
	if r.Quantity <= 0 {
		return
	}
	c.diff.Found += r.Quantity
	for k := range c.lots {
		if o := &c.lots[k]; o.Space == r.Space && o.Locker == r.Locker && (r.BestBefore.IsZero() || o.BestBefore == r.BestBefore) {
			o.Quantity += r.Quantity
			c.note(Found, *o, r.Quantity, "", o.Place(), "")
			return
		}
	}
	l := Lot{ID: c.newID(), Item: c.item, Space: r.Space, Locker: r.Locker, Quantity: r.Quantity, BestBefore: r.BestBefore}
	c.lots = append(c.lots, l)
	c.note(Found, l, r.Quantity, "", l.Place(), "")
}

// gone is what the book had and the count has not, the earliest lots first.
func (c *recounting) gone(spoilt map[Cause]measure.Quantity) {
	slices.Reverse(c.left)
	for _, l := range c.left {
		for _, cause := range Causes() {
			q := min(spoilt[cause], l.Quantity)
			if q > 0 {
				spoilt[cause] -= q
				l.Quantity -= q
				c.note(Spoilt, l, q, l.Place(), "", cause)
			}
		}
		switch {
		case l.Quantity <= 0:
		case l.For != Eaten: // nobody eats the trade goods unsaid
			c.diff.Missing += l.Quantity
			c.note(Missing, l, l.Quantity, l.Place(), "", "")
		default:
			c.diff.Used += l.Quantity
			c.note(Used, l, l.Quantity, l.Place(), "", "")
		}
	}
}

func (c *recounting) note(k MoveKind, l Lot, q measure.Quantity, from, to string, why Cause) {
	c.moves = append(c.moves, Move{
		ID: c.newID(), Day: c.day, Kind: k, Lot: l.ID, Item: c.item, Quantity: q, From: from, To: to,
		Cause: why, For: l.For, Note: "by count",
	})
}

// LotsOf are the lots a count finds, with nothing known of them before.
func LotsOf(rows []Row) []Lot {
	var out []Lot
	for _, r := range rows {
		if r.Quantity > 0 {
			out = append(out, Lot{
				ID: fmt.Sprintf("count-%d", r.Line), Item: r.Item, Space: r.Space, Locker: r.Locker,
				Quantity: r.Quantity, BestBefore: r.BestBefore,
			})
		}
	}
	return out
}
