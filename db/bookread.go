package db

import (
	"context"
	"database/sql"
	"errors"
	"fmt"

	"hardtack/pricing/calendar"
	"hardtack/route/inventory"
	"hardtack/route/inventory/usage"
)

// Moves are the lines of a vessel's stores book from one day to another, both
// included, in the order they were written; a zero day is open.
func (d *DB) Moves(ctx context.Context, vessel string, from, to calendar.Day) ([]inventory.Move, error) {
	return read(ctx, d, "stores book of "+vessel, scanMove, `
		SELECT id, day, kind, lot, item, quantity, from_place, to_place, cause, party, loan, purpose, port, paid_minor, currency, note
		FROM move WHERE vessel = $1 AND day >= $2 AND day <= $3 ORDER BY seq, place`, vessel, from.String(), lastDay(to))
}

// lastDay is a day as a bound from above.
func lastDay(d calendar.Day) string {
	if d.IsZero() {
		return "9999-12-31"
	}
	return d.String()
}

func scanMove(rows *sql.Rows) (inventory.Move, error) {
	var m inventory.Move
	var day string
	var loan int
	err := rows.Scan(&m.ID, &day, &m.Kind, &m.Lot, &m.Item, &m.Quantity, &m.From, &m.To, &m.Cause, &m.Party, &loan, &m.For,
		&m.Port, &m.Paid.Minor, &m.Paid.Currency, &m.Note)
	m.Loan = loan != 0
	return m, errors.Join(err, dayOrNone(&m.Day, day))
}

// Counted is a count that was kept.
type Counted struct {
	Seq   int64
	Day   calendar.Day
	Lines []inventory.Difference
}

// Counts are all counts of a vessel, the oldest first.
func (d *DB) Counts(ctx context.Context, vessel string) ([]Counted, error) {
	type line struct {
		seq int64
		day calendar.Day
		inventory.Difference
	}
	lines, err := read(ctx, d, "counts of "+vessel, func(rows *sql.Rows) (line, error) {
		var l line
		var day string
		err := rows.Scan(&l.seq, &day, &l.Item, &l.Book, &l.Counted, &l.Spoilt, &l.Used, &l.Found, &l.Missing, &l.Mark)
		return l, errors.Join(err, dayOrNone(&l.day, day))
	}, `SELECT seq, day, item, book, counted, spoilt, used, found, missing, mark FROM count_line WHERE vessel = $1 ORDER BY seq, item`, vessel)
	var out []Counted
	for _, l := range lines {
		if n := len(out); n == 0 || out[n-1].Seq != l.seq {
			out = append(out, Counted{Seq: l.seq, Day: l.day})
		}
		last := &out[len(out)-1]
		last.Lines = append(last.Lines, l.Difference)
	}
	return out, err
}

// Usage are the records of a vessel's crew, the oldest first.
func (d *DB) Usage(ctx context.Context, vessel, crew string) ([]usage.Record, error) {
	return read(ctx, d, "usage of "+vessel, func(rows *sql.Rows) (usage.Record, error) {
		u := usage.Record{Crew: crew}
		var from, to string
		var ranOut, guessed int
		err := rows.Scan(&u.Need, &from, &to, &u.PersonDays, &u.Used, &ranOut, &guessed)
		u.RanOut, u.Guessed = ranOut != 0, guessed != 0
		return u, errors.Join(err, dayOrNone(&u.From, from), dayOrNone(&u.To, to))
	}, `SELECT need, from_day, to_day, person_days, used, ran_out, guessed
		FROM usage WHERE vessel = $1 AND crew = $2 ORDER BY to_day, need`, vessel, crew)
}

// read gives all rows of a query.
func read[T any](ctx context.Context, d *DB, what string, scan func(*sql.Rows) (T, error), text string, args ...any) ([]T, error) {
	rows, err := d.reader.QueryContext(ctx, text, args...)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", what, err)
	}
	defer rows.Close()
	var out []T
	for rows.Next() {
		v, err := scan(rows)
		if err != nil {
			return nil, fmt.Errorf("%s: %w", what, err)
		}
		out = append(out, v)
	}
	return out, rows.Err()
}
