package db

import (
	"context"
	"database/sql"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"math"
	"os"
	"path/filepath"
	"strings"

	"hardtack/pricing/calendar"
)

// Recovered says what was saved of a damaged file.
type Recovered struct {
	Schema uint             `json:"schema"` // of the damaged file; the new one has this program's
	Saved  map[string]int64 `json:"saved"`  // rows by table
	Lost   []string         `json:"lost"`   // what could not be read, in words
}

// Recover saves what can be read of a damaged SQLite file into a new file. The
// damaged one, and the log beside it, are only copied. A row is taken as it
// stands or left out; which were lost cannot always be told.
func Recover(ctx context.Context, damaged, into string) (Recovered, error) {
	out, err := recoverFile(ctx, damaged, into)
	if err != nil {
		return out, fmt.Errorf("recover %s: %w", Redact(damaged), err)
	}
	return out, nil
}

func recoverFile(ctx context.Context, damaged, into string) (out Recovered, err error) {
	if dialectOf(damaged).name != sqliteFile.name || dialectOf(into).name != sqliteFile.name {
		return out, fmt.Errorf("%w: only SQLite files are recovered; a PostgreSQL server has tools of its own; nothing was changed", ErrInvalid)
	}
	if _, err := os.Lstat(into); err == nil {
		return out, fmt.Errorf("%s: %w; nothing was changed", into, ErrConflict)
	}
	work, err := os.MkdirTemp(filepath.Dir(into), ".hardtack-recover-*")
	if err != nil {
		return out, err
	}
	defer func() { err = errors.Join(err, os.RemoveAll(work)) }()
	from, to := filepath.Join(work, "damaged.db"), filepath.Join(work, "new.db")
	if err := copyFile(damaged, from); err != nil {
		return out, err
	}
	if err := copyFile(damaged+"-wal", from+"-wal"); err != nil && !errors.Is(err, os.ErrNotExist) {
		return out, err
	}
	if out, err = save(ctx, from, to); err != nil {
		return out, err
	}
	if err := os.Rename(to, into); err != nil {
		return out, err
	}
	return out, syncFolder(filepath.Dir(into))
}

// save reads a working copy, which it may change, into a new file.
func save(ctx context.Context, from, to string) (out Recovered, err error) {
	old, err := sql.Open("sqlite", sqliteName(from)+"?_pragma=cell_size_check(1)")
	if err != nil {
		return out, err
	}
	old.SetMaxOpenConns(1)
	defer func() { err = errors.Join(err, old.Close()) }()
	out.Saved = map[string]int64{}
	if err := old.QueryRowContext(ctx, `SELECT version FROM schema_mark`).Scan(&out.Schema); err != nil {
		out.Schema = Newest
		out.Lost = append(out.Lost, fmt.Sprintf("the schema's number (%v): taken for %d", err, Newest))
	}
	if out.Schema == 0 || out.Schema > Newest {
		return out, &SchemaError{Have: out.Schema, Want: Newest}
	}
	if _, err := MigrateTo(ctx, to, out.Schema); err != nil {
		return out, err
	}
	d, err := connect(ctx, sqliteFile, to)
	if err != nil {
		return out, err
	}
	names, err := d.tableNames(ctx)
	for _, name := range names {
		if err == nil && name != "schema_mark" {
			err = d.saveTable(ctx, old, name, &out)
		}
	}
	if err := errors.Join(err, d.Close()); err != nil {
		return out, err
	}
	if _, err := Migrate(ctx, to); err != nil {
		return out, err
	}
	_, err = writeOut(ctx, to)
	return out, err
}

// writeOut moves the log of a file nobody else uses into the file.
func writeOut(ctx context.Context, path string) (pages int, err error) {
	d, err := sqliteFile.openWriter(path)
	if err != nil {
		return 0, err
	}
	var busy, log int
	err = d.QueryRowContext(ctx, `PRAGMA wal_checkpoint(TRUNCATE)`).Scan(&busy, &log, &pages)
	return pages, errors.Join(err, d.Close())
}

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

func copyFile(from, to string) (err error) {
	in, err := os.Open(from)
	if err != nil {
		return err
	}
	defer in.Close()
	out, err := os.OpenFile(to, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o600)
	if err != nil {
		return err
	}
	_, err = io.Copy(out, in)
	return errors.Join(err, out.Sync(), out.Close())
}
