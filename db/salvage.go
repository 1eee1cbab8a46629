package db

import (
	"context"
	"database/sql"
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"strings"

	"hardtack/pricing/calendar"
)

// saveTable reads one table by its row numbers: around what cannot be read.
func (d *DB) saveTable(ctx context.Context, old *sql.DB, name string, out *Recovered) error {
	columns, err := d.columns(ctx, name)
	if err != nil {
		return err
	}
	return d.write(ctx, func(t writeTx) error {
		s := saving{ctx: ctx, old: old, to: t, name: name, columns: columns,
			read:   `SELECT rowid, ` + strings.Join(columns, ", ") + ` FROM ` + name + ` WHERE rowid >= $1 ORDER BY rowid`,
			insert: `INSERT INTO ` + name + ` (` + strings.Join(columns, ", ") + `) VALUES (` + places(1, len(columns)) + `)`}
		if err := s.all(); err != nil {
			return err
		}
		out.Saved[name] += s.saved
		if s.holes > 0 {
			out.Lost = append(out.Lost, fmt.Sprintf("%s: unreadable in %d places", name, s.holes))
		}
		if s.refused > 0 {
			out.Lost = append(out.Lost, fmt.Sprintf("%s: %d rows that can be read but not be true", name, s.refused))
		}
		return nil
	})
}

func (d *DB) columns(ctx context.Context, name string) (out []string, err error) {
	rows, err := d.reader.QueryContext(ctx, `SELECT name FROM pragma_table_info($1)`, name)
	if err != nil {
		return nil, err
	}
	defer rows.Close()
	for rows.Next() {
		var c string
		if err := rows.Scan(&c); err != nil {
			return nil, err
		}
		out = append(out, c)
	}
	return out, rows.Err()
}

// saving is one table on its way.
type saving struct {
	ctx                   context.Context
	old                   *sql.DB
	to                    writeTx
	name, read, insert    string
	columns               []string
	saved, holes, refused int64
}

// all saves every row it can. Where reading breaks off it goes on behind the
// hole.
func (s *saving) all() error {
	for lo := int64(1); ; {
		last, err := s.some(lo)
		if err == nil || errors.Is(err, errWrite) || s.ctx.Err() != nil {
			return err
		}
		s.holes++
		next, ok := s.behind(max(lo, last+1))
		if !ok {
			return nil
		}
		lo = next
	}
}

// behind finds a row number from which reading works again: steps that double,
// then halving back. Rows between two holes close together may be missed.
func (s *saving) behind(bad int64) (int64, bool) {
	good := bad
	for step := int64(1); ; step *= 2 {
		if step > math.MaxInt64/4 || good > math.MaxInt64-step {
			return 0, false
		}
		if good += step; s.readable(good) {
			break
		}
		bad = good
	}
	for bad+1 < good {
		if middle := bad + (good-bad)/2; s.readable(middle) {
			good = middle
		} else {
			bad = middle
		}
	}
	return good, true
}

func (s *saving) readable(from int64) bool {
	rows, err := s.old.QueryContext(s.ctx, s.read+` LIMIT 1`, from)
	if err != nil {
		return false
	}
	defer rows.Close()
	for rows.Next() {
	}
	return rows.Err() == nil
}

var errWrite = errors.New("write what was saved")

// some saves rows until one cannot be read, and gives the number of the last.
func (s *saving) some(lo int64) (last int64, err error) {
	rows, err := s.old.QueryContext(s.ctx, s.read, lo)
	if err != nil {
		return lo - 1, err
	}
	defer rows.Close()
	values, into := make([]any, len(s.columns)+1), make([]any, len(s.columns)+1)
	for i := range values {
		into[i] = &values[i]
	}
	last = lo - 1
	for rows.Next() {
		if err := rows.Scan(into...); err != nil {
			return last, err
		}
		number, ok := values[0].(int64)
		if !ok || number <= last {
			return last, fmt.Errorf("row number %v", values[0])
		}
		if err := s.put(values[1:]); err != nil {
			return last, err
		}
		last = number
	}
	return last, rows.Err()
}

// put keeps a row, unless it is plainly noise, or the table's own rules or a row
// before it forbid.
func (s *saving) put(values []any) error {
	for i, v := range values {
		if !plausible(s.columns[i], v) {
			s.refused++
			return nil
		}
	}
	_, err := s.to.ExecContext(s.ctx, s.insert, values...)
	switch code := sqliteCode(err); {
	case err == nil:
		s.saved++
	case code == constraintBroken || code == wrongType:
		s.refused++
	default:
		return fmt.Errorf("%w: %w", errWrite, err)
	}
	return nil
}

// plausible says whether a value may be one this program wrote. Text that was
// damaged but still reads well passes: a row has no checksum of its own.
func plausible(column string, value any) bool {
	text, ok := value.(string)
	if !ok {
		return value != nil
	}
	if checkText(text) != nil {
		return false
	}
	switch column {
	case "day", "bought", "best_before":
		_, err := calendar.Parse(text)
		return err == nil || text == ""
	case "body":
		return json.Valid([]byte(text))
	}
	return true
}
