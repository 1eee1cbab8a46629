package db

import (
	"context"
	"database/sql"
	"errors"
	"fmt"

	"hardtack/pricing/calendar"
	"hardtack/route/inventory"
)

// SetLots makes lots all that is aboard a vessel, in their order, and gives the
// inventory's revision. The same lots again change nothing; ErrStale as with
// Put, and a vessel that never had lots has revision Absent. Quantities are
// above 0, ids are the vessel's own.
func (d *DB) SetLots(ctx context.Context, vessel string, lots []inventory.Lot, expect int64) (int64, error) {
	return d.Book(ctx, vessel, Booking{Lots: lots}, expect)
}

func checkLots(lots []inventory.Lot) error {
	seen := map[string]bool{}
	for i, l := range lots {
		if l.ID == "" || seen[l.ID] || l.Quantity <= 0 {
			return fmt.Errorf("%w: lots[%d]: want an id of its own and a quantity above 0; nothing was changed", ErrInvalid, i)
		}
		seen[l.ID] = true
		if err := checkText(l.ID, string(l.Item), l.Space, l.Locker, string(l.Port), string(l.For), l.Note); err != nil {
			return err
		}
	}
	return nil
}

func (t writeTx) setLots(ctx context.Context, vessel string, lots []inventory.Lot) (int64, error) {
	if _, err := t.ExecContext(ctx, `DELETE FROM lot WHERE vessel = $1`, vessel); err != nil {
		return 0, err
	}
	rows := make([]row, len(lots))
	for i, l := range lots {
		rows[i] = row{
			vessel, l.ID, string(l.Item), l.Space, int64(l.Quantity),
			l.Bought.String(), l.BestBefore.String(), l.Note, int64(i),
			l.Locker, int64(l.Pack), string(l.Port), l.Opened.String(), string(l.For),
		}
	}
	if len(rows) > 0 {
		if err := t.bulk(ctx, lotTable, rows); err != nil {
			return 0, err
		}
	}
	return t.log(ctx, KindLot, vessel, put, len(lots))
}

// Lots gives what is aboard a vessel and the inventory's revision, Absent when
// nothing was ever put aboard.
func (d *DB) Lots(ctx context.Context, vessel string) (lots []inventory.Lot, revision int64, err error) {
	err = d.snapshot(ctx, func(tx *sql.Tx) error {
		lots, revision, err = lotsOf(ctx, tx, vessel)
		return err
	})
	if err != nil {
		return nil, 0, fmt.Errorf("lots of %q: %w", vessel, err)
	}
	return lots, revision, nil
}

func lotsOf(ctx context.Context, tx *sql.Tx, vessel string) ([]inventory.Lot, int64, error) {
	var revision int64
	err := tx.QueryRowContext(ctx, `SELECT COALESCE(MAX(seq), 0) FROM change WHERE kind = $1 AND ref = $2`,
		string(KindLot), vessel).Scan(&revision)
	if err != nil {
		return nil, 0, err
	}
	rows, err := tx.QueryContext(ctx, `
		SELECT id, item, space, quantity, bought, best_before, note, locker, pack, port, opened, purpose
		FROM lot WHERE vessel = $1 ORDER BY place`, vessel)
	if err != nil {
		return nil, 0, err
	}
	defer rows.Close()
	var lots []inventory.Lot
	for rows.Next() {
		l, err := scanLot(rows)
		if err != nil {
			return nil, 0, err
		}
		lots = append(lots, l)
	}
	return lots, revision, rows.Err()
}

func scanLot(rows *sql.Rows) (inventory.Lot, error) {
	var l inventory.Lot
	var bought, best, opened string
	err := rows.Scan(&l.ID, &l.Item, &l.Space, &l.Quantity, &bought, &best, &l.Note, &l.Locker, &l.Pack, &l.Port, &opened, &l.For)
	if err != nil {
		return l, err
	}
	return l, errors.Join(dayOrNone(&l.Bought, bought), dayOrNone(&l.BestBefore, best), dayOrNone(&l.Opened, opened))
}

func dayOrNone(d *calendar.Day, text string) error { return d.UnmarshalText([]byte(text)) }
