package db

import (
	"bufio"
	"bytes"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"slices"
)

// Restore puts a backup into a database that is still empty, all or nothing.
// The whole backup is checked before anything is written: a damaged one is
// ErrDamaged, one of another schema ErrSchema, a database with content
// ErrConflict.
func (d *DB) Restore(ctx context.Context, r io.ReadSeeker) error {
	if err := checkBackup(r); err != nil {
		return fmt.Errorf("restore: %w; nothing was changed", err)
	}
	if _, err := r.Seek(0, io.SeekStart); err != nil {
		return fmt.Errorf("restore: %w", err)
	}
	err := d.write(ctx, func(t writeTx) error {
		if err := t.mustBeEmpty(ctx); err != nil {
			return err
		}
		if _, err := r.Seek(0, io.SeekStart); err != nil { // a second attempt begins anew
			return err
		}
		return t.restore(ctx, r)
	})
	if err != nil {
		return fmt.Errorf("restore: %w", err)
	}
	return nil
}

// checkBackup reads a backup to its end and says whether it is whole.
func checkBackup(r io.Reader) error {
	in := bufio.NewReaderSize(r, 1<<16)
	first, err := in.ReadBytes('\n')
	var head backupHead
	if err != nil || json.Unmarshal(first, &head) != nil || head.Format != backupFormat {
		return fmt.Errorf("%w: the first line is not that of a backup", ErrDamaged)
	}
	sum, last, lines := sha256.New(), first, int64(1)
	for {
		line, err := in.ReadBytes('\n')
		if errors.Is(err, io.EOF) && len(line) == 0 {
			break
		}
		if err != nil {
			return fmt.Errorf("%w: line %d ends early: %w", ErrDamaged, lines+1, err)
		}
		sum.Write(last)
		last, lines = line, lines+1
	}
	var foot backupFoot
	if json.Unmarshal(last, &foot) != nil || foot.SHA256 != hex.EncodeToString(sum.Sum(nil)) {
		return fmt.Errorf("%w: the checksum at the end does not fit", ErrDamaged)
	}
	if head.Schema != Newest {
		return &SchemaError{Have: head.Schema, Want: Newest}
	}
	return nil
}

func (t writeTx) mustBeEmpty(ctx context.Context) error {
	for _, k := range tables {
		var n int
		if err := t.QueryRowContext(ctx, `SELECT COUNT(*) FROM `+k.name).Scan(&n); err != nil {
			return err
		}
		if n > 0 {
			return fmt.Errorf("%w: the database is not empty, %s has %d rows; nothing was changed", ErrConflict, k.name, n)
		}
	}
	return nil
}

// restoreAtOnce rows are held in memory.
const restoreAtOnce = 2_000

func (t writeTx) restore(ctx context.Context, r io.Reader) error {
	in := bufio.NewReaderSize(r, 1<<16)
	if _, err := in.ReadBytes('\n'); err != nil { // the head, read before
		return err
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
		if line[0] == '{' {
			into = tableOf(line, into)
		}
	}
}

// tableOf is the table whose head a line is; the foot names none.
func tableOf(line []byte, otherwise table) table {
	var head tableHead
	if json.Unmarshal(line, &head) != nil {
		return otherwise
	}
	for _, t := range tables {
		if t.name == head.Table && slices.Equal(t.columns, head.Columns) {
			return t
		}
	}
	return table{}
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
