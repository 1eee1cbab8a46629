package db

import (
	"context"
	"database/sql"
	"errors"
	"fmt"

	"hardtack/pricing"
	"hardtack/pricing/calendar"
	"hardtack/route/logbook"
)

// AddLog adds entries to a vessel's log, all or none; the same entry again
// changes nothing, another one under its id is ErrConflict.
func (d *DB) AddLog(ctx context.Context, of string, entries ...logbook.Entry) error {
	for _, e := range entries {
		if err := checkText(of, e.ID, e.Place, string(e.Item), e.Note); err != nil {
			return fmt.Errorf("log of %q: %w", of, err)
		}
	}
	err := d.write(ctx, func(t writeTx) error {
		_, err := t.addLog(ctx, of, entries)
		return err
	})
	if err != nil {
		return fmt.Errorf("log of %q: %w", of, err)
	}
	return nil
}

// AddLogWith adds an entry and what it makes of a document, both or neither.
// The entry being there already, nothing is changed. Errors as AddLog, and
// ErrStale when the document is not at the revision expected.
func (d *DB) AddLogWith(ctx context.Context, of string, e logbook.Entry, w With, expect int64) error {
	err := checkText(of, e.ID, e.Place, string(e.Item), e.Note, w.ID, string(w.Body))
	if err == nil {
		err = d.write(ctx, func(t writeTx) error {
			fresh, err := t.addLog(ctx, of, []logbook.Entry{e})
			if err != nil || fresh == 0 {
				return err
			}
			old, err := document(ctx, t.QueryRowContext, w.Kind, w.ID)
			if err != nil {
				return err
			}
			if err := expected(old.Revision, expect); err != nil {
				return err
			}
			_, err = t.put(ctx, w.Kind, w.ID, w.Body)
			return err
		})
	}
	if err != nil {
		return fmt.Errorf("log of %q: %w", of, err)
	}
	return nil
}

// addLog writes what is not there yet and gives how many.
func (t writeTx) addLog(ctx context.Context, of string, entries []logbook.Entry) (int, error) {
	fresh, err := t.fresh(ctx, of, entries)
	if err != nil || len(fresh) == 0 {
		return 0, err
	}
	seq, err := t.log(ctx, KindLog, of, added, len(fresh))
	if err != nil {
		return 0, err
	}
	var rows []row
	for _, e := range fresh {
		rows = append(rows, row{of, e.ID, seq, e.Day.String(), string(e.Kind), e.Amount, e.Place, string(e.Item), e.Note})
	}
	return len(fresh), t.rows(ctx, logTable, rows)
}

// fresh leaves out the entries that are there already.
func (t writeTx) fresh(ctx context.Context, of string, entries []logbook.Entry) ([]logbook.Entry, error) {
	var out []logbook.Entry
	for _, e := range entries {
		was, day := logbook.Entry{ID: e.ID}, ""
		err := t.QueryRowContext(ctx, `SELECT day, kind, amount, place, item, note FROM log_entry WHERE vessel = $1 AND id = $2`, of, e.ID).
			Scan(&day, &was.Kind, &was.Amount, &was.Place, &was.Item, &was.Note)
		switch {
		case errors.Is(err, sql.ErrNoRows):
			out = append(out, e)
			continue
		case err != nil:
			return nil, err
		}
		if err := dayOrNone(&was.Day, day); err != nil {
			return nil, err
		}
		if was != e {
			return nil, fmt.Errorf("entry %q: %w; nothing was changed", e.ID, ErrConflict)
		}
	}
	return out, nil
}

// Log is a vessel's log from one day to another, both included, by day; a zero
// day is open.
func (d *DB) Log(ctx context.Context, of string, from, to calendar.Day) ([]logbook.Entry, error) {
	return read(ctx, d, "log of "+of, func(rows *sql.Rows) (logbook.Entry, error) {
		var e logbook.Entry
		var day, item string
		err := rows.Scan(&e.ID, &day, &e.Kind, &e.Amount, &e.Place, &item, &e.Note)
		e.Item = pricing.ItemID(item)
		return e, errors.Join(err, dayOrNone(&e.Day, day))
	}, `SELECT id, day, kind, amount, place, item, note FROM log_entry
		WHERE vessel = $1 AND day >= $2 AND day <= $3 ORDER BY day, seq, id`, of, from.String(), lastDay(to))
}
