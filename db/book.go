package db

import (
	"context"
	"fmt"
	"slices"

	"hardtack/pricing/calendar"
	"hardtack/route/inventory"
	"hardtack/route/inventory/usage"
)

// Booking is a change of what is aboard together with what explains it: one
// change, all of it or nothing.
type Booking struct {
	Lots  []inventory.Lot // all that is aboard after it
	Moves []inventory.Move
	Count []inventory.Difference // what a count found; empty: it was none
	Usage []usage.Record         // of the same need, crew and day as one kept: put in its place
	Day   calendar.Day           // of the count
}

// Book keeps a booking and gives the inventory's revision. The same lots again
// without anything else change nothing. ErrStale as with Put, ErrConflict when
// a line of the stores book is there already.
func (d *DB) Book(ctx context.Context, vessel string, b Booking, expect int64) (int64, error) {
	if err := b.check(vessel); err != nil {
		return 0, fmt.Errorf("book the stores of %q: %w", vessel, err)
	}
	var revision int64
	err := d.write(ctx, func(t writeTx) error {
		old, there, err := lotsOf(ctx, t.Tx, vessel)
		if err != nil {
			return err
		}
		revision = there
		if slices.Equal(old, b.Lots) && len(b.Moves)+len(b.Count)+len(b.Usage) == 0 {
			return nil
		}
		if err := expected(there, expect); err != nil {
			return err
		}
		if revision, err = t.setLots(ctx, vessel, b.Lots); err != nil {
			return err
		}
		return t.explain(ctx, vessel, revision, b)
	})
	if err != nil {
		return 0, fmt.Errorf("book the stores of %q: %w", vessel, err)
	}
	return revision, nil
}

func (b Booking) check(vessel string) error {
	if err := checkText(vessel); err != nil {
		return err
	}
	if err := checkLots(b.Lots); err != nil {
		return err
	}
	seen := map[string]bool{}
	for i, m := range b.Moves {
		if m.ID == "" || seen[m.ID] || m.Quantity <= 0 {
			return fmt.Errorf("%w: moves[%d]: want an id of its own and a quantity above 0; nothing was changed", ErrInvalid, i)
		}
		seen[m.ID] = true
		if err := checkText(m.ID, m.Lot, string(m.Item), m.From, m.To, m.Party, m.Note, string(m.Port)); err != nil {
			return err
		}
	}
	for i, u := range b.Usage {
		if u.Need == "" || u.To.IsZero() || !(u.PersonDays >= 0) || !(u.Used >= 0) {
			return fmt.Errorf("%w: usage[%d]: want a need, a day, and no negative number; nothing was changed", ErrInvalid, i)
		}
		if err := checkText(u.Crew, u.Need); err != nil {
			return err
		}
	}
	return nil
}

// explain writes what goes with the lots of a booking.
func (t writeTx) explain(ctx context.Context, vessel string, seq int64, b Booking) error {
	for _, m := range b.Moves {
		var n int
		if err := t.QueryRowContext(ctx, `SELECT COUNT(*) FROM move WHERE vessel = $1 AND id = $2`, vessel, m.ID).Scan(&n); err != nil {
			return err
		}
		if n > 0 {
			return fmt.Errorf("line %q of the stores book: %w; nothing was changed", m.ID, ErrConflict)
		}
	}
	if err := t.rows(ctx, moveTable, moveRows(vessel, seq, b.Moves)); err != nil {
		return err
	}
	if err := t.rows(ctx, countTable, countRows(vessel, seq, b)); err != nil {
		return err
	}
	for _, u := range b.Usage {
		_, err := t.ExecContext(ctx, `DELETE FROM usage WHERE vessel = $1 AND crew = $2 AND need = $3 AND to_day = $4`,
			vessel, u.Crew, u.Need, u.To.String())
		if err != nil {
			return err
		}
	}
	return t.rows(ctx, usageTable, usageRows(vessel, b.Usage))
}

// rows is bulk that does nothing for nothing.
func (t writeTx) rows(ctx context.Context, into table, rows []row) error {
	if len(rows) == 0 {
		return nil
	}
	return t.bulk(ctx, into, rows)
}

func moveRows(vessel string, seq int64, moves []inventory.Move) (out []row) {
	for i, m := range moves {
		out = append(out, row{
			vessel, m.ID, seq, int64(i), m.Day.String(), string(m.Kind), m.Lot, string(m.Item), int64(m.Quantity), m.From, m.To,
			string(m.Cause), m.Party, flag(m.Loan), string(m.For), string(m.Port), m.Paid.Minor, string(m.Paid.Currency), m.Note,
		})
	}
	return out
}

func countRows(vessel string, seq int64, b Booking) (out []row) {
	for _, d := range b.Count {
		out = append(out, row{
			vessel, seq, b.Day.String(), string(d.Item), int64(d.Book), int64(d.Counted), int64(d.Spoilt), int64(d.Used),
			int64(d.Found), int64(d.Missing), string(d.Mark),
		})
	}
	return out
}

func usageRows(vessel string, records []usage.Record) (out []row) {
	for _, u := range records {
		out = append(out, row{
			vessel, u.Crew, u.Need, u.From.String(), u.To.String(), u.PersonDays, u.Used, flag(u.RanOut), flag(u.Guessed),
		})
	}
	return out
}

// flag is a yes or no as both databases keep it.
func flag(yes bool) int64 {
	if yes {
		return 1
	}
	return 0
}
