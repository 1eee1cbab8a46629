package db

import (
	"bufio"
	"bytes"
	"context"
	"database/sql"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"regexp"
	"slices"
	"strings"
)

// Restore puts a backup into a database that is still empty, all or nothing.
// The whole backup is checked before anything is written: a damaged one is
// ErrDamaged, one of another schema ErrSchema, a database with content
// ErrConflict.
func (d *DB) Restore(ctx context.Context, r io.ReadSeeker) error {
	info, err := CheckBackup(r)
	if err == nil && info.Schema != Newest {
		err = &SchemaError{Have: info.Schema, Want: Newest}
	}
	if err == nil {
		err = d.restore(ctx, r, false)
	}
	if err != nil {
		return fmt.Errorf("restore: %w", err)
	}
	return nil
}

// restore takes a backup that was checked. With over, content gives way to it
// that is no newer.
func (d *DB) restore(ctx context.Context, r io.ReadSeeker, over bool) error {
	return d.write(ctx, func(t writeTx) error {
		if err := d.mayReplace(ctx, t.Tx, r, over); err != nil {
			return err
		}
		if over {
			if err := t.clear(ctx); err != nil {
				return err
			}
		}
		if _, err := r.Seek(0, io.SeekStart); err != nil { // a second attempt begins anew
			return err
		}
		return d.dialect.filling(ctx, t.Tx, func() error {
			if err := t.load(ctx, r); err != nil {
				return err
			}
			return t.pourRestored(ctx)
		})
	})
}

func (t writeTx) clear(ctx context.Context) error {
	names := slices.Clone(t.db.dialect.beside)
	for _, k := range slices.Backward(tables) {
		names = append(names, k.name)
	}
	there, err := t.db.tableNames(ctx) // an older schema has fewer
	if err != nil {
		return err
	}
	for _, name := range names {
		if !slices.Contains(there, name) {
			continue
		}
		if _, err := t.ExecContext(ctx, `DELETE FROM `+name); err != nil {
			return err
		}
	}
	return nil
}

// mayReplace says whether a backup may be put in: into an empty database
// always; with over, also when the backup has every change the database has.
func (d *DB) mayReplace(ctx context.Context, tx *sql.Tx, r io.ReadSeeker, over bool) error {
	if over {
		return noNewer(ctx, tx, r)
	}
	n, err := d.rows(ctx, tx.QueryRowContext)
	if err == nil && n > 0 {
		err = fmt.Errorf("%w: the database is not empty, it has %d rows; nothing was changed", ErrConflict, n)
	}
	return err
}

// rows counts the rows of all tables there are, whatever the schema.
func (d *DB) rows(ctx context.Context, q queryRow) (int64, error) {
	names, err := d.tableNames(ctx)
	if err != nil {
		return 0, err
	}
	var sum int64
	for _, t := range tables {
		if !slices.Contains(names, t.name) {
			continue
		}
		var n int64
		if err := q(ctx, `SELECT COUNT(*) FROM `+t.name).Scan(&n); err != nil {
			return 0, err
		}
		sum += n
	}
	return sum, nil
}

// noNewer lays the database's change log beside the backup's, line by line.
func noNewer(ctx context.Context, tx *sql.Tx, r io.ReadSeeker) error {
	if _, err := r.Seek(0, io.SeekStart); err != nil {
		return err
	}
	in := bufio.NewReaderSize(r, 1<<16)
	for line := []byte(nil); !bytes.HasPrefix(line, []byte(`{"table":"change"`)); {
		var err error
		if line, err = in.ReadBytes('\n'); err != nil {
			return fmt.Errorf("%w: it has no change log", ErrDamaged)
		}
	}
	return eachRow(ctx, tx, changeTable, func(row []any) error {
		var own bytes.Buffer
		if err := encoder(&own).Encode(row); err != nil {
			return err
		}
		line, err := in.ReadBytes('\n')
		if err != nil || !bytes.Equal(line, own.Bytes()) {
			return fmt.Errorf("%w: the database is newer, its change %v is not in the backup: restore into a new file; nothing was changed", ErrConflict, row[0])
		}
		return nil
	})
}

// restoreAtOnce rows are held in memory.
const restoreAtOnce = 2_000

func (t writeTx) load(ctx context.Context, r io.Reader) error {
	in := bufio.NewReaderSize(r, 1<<16)
	first, err := in.ReadBytes('\n')
	var head backupHead
	if err != nil || json.Unmarshal(first, &head) != nil {
		return fmt.Errorf("%w: the first line is not that of a backup", ErrDamaged)
	}
	var into table
	var rows []row
	flush := func() error {
		defer func() { rows = rows[:0] }()
		if len(rows) == 0 {
			return nil
		}
		return t.bulk(ctx, into, rows)
	}
	for {
		line, err := in.ReadBytes('\n')
		if errors.Is(err, io.EOF) {
			return flush()
		}
		if err != nil {
			return err
		}
		if line[0] == '[' {
			values, err := into.decode(line)
			if err != nil {
				return err
			}
			rows = append(rows, values)
			if len(rows) < restoreAtOnce {
				continue
			}
		}
		if err := flush(); err != nil {
			return err
		}
		if bytes.HasPrefix(line, []byte(`{"table":`)) {
			if into, err = tableOf(line, head.Schema); err != nil {
				return err
			}
		}
	}
}

var plainName = regexp.MustCompile(`^[a-z][a-z0-9_]*$`)

// tableOf is the table whose head a line is. A backup of an older program has
// the tables and columns of its own time.
func tableOf(line []byte, schema uint) (table, error) {
	var head tableHead
	if err := json.Unmarshal(line, &head); err != nil {
		return table{}, fmt.Errorf("%w: head of a table: %w", ErrDamaged, err)
	}
	k := slices.IndexFunc(tables, func(t table) bool { return t.name == head.Table })
	if k >= 0 && slices.Equal(tables[k].columns, head.Columns) {
		return tables[k], nil
	}
	for _, name := range append([]string{head.Table}, head.Columns...) {
		if schema == Newest || !plainName.MatchString(name) {
			return table{}, fmt.Errorf("%w: no table %q with the columns %s is known here", ErrDamaged, head.Table, strings.Join(head.Columns, ", "))
		}
	}
	old := table{name: head.Table, columns: head.Columns}
	if k >= 0 {
		old.reals = tables[k].reals
	}
	return old, nil
}

func (t table) decode(line []byte) (row, error) {
	in := json.NewDecoder(bytes.NewReader(line))
	in.UseNumber()
	var values row
	if err := in.Decode(&values); err != nil || len(values) != len(t.columns) {
		return nil, fmt.Errorf("%w: a row of %q has not its %d columns", ErrDamaged, t.name, len(t.columns))
	}
	for i, v := range values {
		n, ok := v.(json.Number)
		if !ok {
			continue
		}
		var err error
		if slices.Contains(t.reals, t.columns[i]) {
			values[i], err = n.Float64()
		} else {
			values[i], err = n.Int64()
		}
		if err != nil {
			return nil, fmt.Errorf("%w: %s.%s: %w", ErrDamaged, t.name, t.columns[i], err)
		}
	}
	return values, nil
}
