package db

import (
	"context"
	"database/sql"
	"fmt"
	"reflect"
	"strconv"

	"hardtack/route/vessel"
)

// SetLockers makes lockers all a vessel has, in their order, and gives their
// revision; the same again changes nothing; ErrStale as with Put.
func (d *DB) SetLockers(ctx context.Context, of string, lockers []vessel.Locker, expect int64) (int64, error) {
	for _, l := range lockers {
		if err := checkText(of, l.ID, l.Space, string(l.Side), l.ReadOn); err != nil {
			return 0, fmt.Errorf("set lockers of %q: %w", of, err)
		}
	}
	var revision int64
	err := d.write(ctx, func(t writeTx) error {
		old, there, err := lockersOf(ctx, t.Tx, of)
		if err != nil {
			return err
		}
		revision = there
		if len(old) == len(lockers) && (len(old) == 0 || reflect.DeepEqual(old, lockers)) {
			return nil
		}
		if err := expected(there, expect); err != nil {
			return err
		}
		if _, err := t.ExecContext(ctx, `DELETE FROM locker WHERE vessel = $1`, of); err != nil {
			return err
		}
		if err := t.rows(ctx, lockerTable, lockerRows(of, lockers)); err != nil {
			return err
		}
		revision, err = t.log(ctx, KindLocker, of, put, len(lockers))
		return err
	})
	if err != nil {
		return 0, fmt.Errorf("set lockers of %q: %w", of, err)
	}
	return revision, nil
}

func lockerRows(of string, lockers []vessel.Locker) (out []row) {
	for i, l := range lockers {
		temp := ""
		if l.TempC != nil {
			temp = strconv.FormatFloat(*l.TempC, 'g', -1, 64)
		}
		out = append(out, row{
			of, l.ID, l.Space, l.Litres, l.MaxKg, flag(l.Wet), flag(l.Hot), flag(l.AtSea), flag(l.Low), flag(l.Sealed),
			string(l.Side), temp, l.ReadOn, int64(i),
		})
	}
	return out
}

// Lockers gives a vessel's lockers and their revision, Absent when it never
// had any.
func (d *DB) Lockers(ctx context.Context, of string) (lockers []vessel.Locker, revision int64, err error) {
	err = d.snapshot(ctx, func(tx *sql.Tx) error {
		lockers, revision, err = lockersOf(ctx, tx, of)
		return err
	})
	if err != nil {
		return nil, 0, fmt.Errorf("lockers of %q: %w", of, err)
	}
	return lockers, revision, nil
}

func lockersOf(ctx context.Context, tx *sql.Tx, of string) ([]vessel.Locker, int64, error) {
	var revision int64
	err := tx.QueryRowContext(ctx, `SELECT COALESCE(MAX(seq), 0) FROM change WHERE kind = $1 AND ref = $2`,
		string(KindLocker), of).Scan(&revision)
	if err != nil {
		return nil, 0, err
	}
	rows, err := tx.QueryContext(ctx, `
		SELECT id, space, litres, max_kg, wet, hot, at_sea, low, sealed, side, temp, read_on
		FROM locker WHERE vessel = $1 ORDER BY place`, of)
	if err != nil {
		return nil, 0, err
	}
	defer rows.Close()
	var out []vessel.Locker
	for rows.Next() {
		l, err := scanLocker(rows)
		if err != nil {
			return nil, 0, err
		}
		out = append(out, l)
	}
	return out, revision, rows.Err()
}

func scanLocker(rows *sql.Rows) (vessel.Locker, error) {
	var l vessel.Locker
	var wet, hot, atSea, low, sealed int
	var temp string
	if err := rows.Scan(&l.ID, &l.Space, &l.Litres, &l.MaxKg, &wet, &hot, &atSea, &low, &sealed, &l.Side, &temp, &l.ReadOn); err != nil {
		return l, err
	}
	l.Wet, l.Hot, l.AtSea, l.Low, l.Sealed = wet != 0, hot != 0, atSea != 0, low != 0, sealed != 0
	if temp == "" {
		return l, nil
	}
	c, err := strconv.ParseFloat(temp, 64)
	l.TempC = &c
	return l, err
}
