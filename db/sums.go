package db

import (
	"context"
	"fmt"
	"iter"
)

// sumsTable is filled in bulk; it is no part of a backup.
var sumsTable = table{name: sumsName, columns: []string{"part", "body"}}

// PutSums keeps what many reports add up to, in parts of the caller's making,
// in the place of what was kept before, all or nothing. It is no fact: a
// backup is without it. Parts may be gone through more than once.
func (d *DB) PutSums(ctx context.Context, parts iter.Seq[[]byte]) error {
	err := d.write(ctx, func(t writeTx) error {
		if err := t.forgetSums(ctx); err != nil {
			return err
		}
		number := int64(0)
		for body := range parts {
			if err := t.bulk(ctx, sumsTable, []row{{number, body}}); err != nil {
				return err
			}
			number++
		}
		return nil
	})
	if err != nil {
		return fmt.Errorf("keep sums: %w", err)
	}
	return nil
}

// forgetSums is for when what they are of is not what it was.
func (t writeTx) forgetSums(ctx context.Context) error {
	_, err := t.ExecContext(ctx, `DELETE FROM sums`)
	return err
}

// EachSums hands the parts kept to f in their order, none when none are kept;
// it stops at f's error.
func (d *DB) EachSums(ctx context.Context, f func(part []byte) error) error {
	rows, err := d.reader.QueryContext(ctx, `SELECT body FROM sums ORDER BY part`)
	if err != nil {
		return fmt.Errorf("sums: %w", err)
	}
	defer rows.Close()
	for rows.Next() {
		var body []byte
		if err := rows.Scan(&body); err != nil {
			return fmt.Errorf("sums: %w", err)
		}
		if err := f(body); err != nil {
			return err
		}
	}
	return rows.Err()
}
