package db

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
)

// KindMeta is a fact about the database itself, in the change log.
const KindMeta Kind = "meta"

// MetaOr gives a fact about the database, and keeps value as that fact if none
// is kept yet. So of two that ask at once both get the same.
func (d *DB) MetaOr(ctx context.Context, name, value string) (string, error) {
	if err := checkText(name, value); err != nil {
		return "", fmt.Errorf("fact %q: %w", name, err)
	}
	kept, err := meta(ctx, d.reader.QueryRowContext, name)
	if !errors.Is(err, sql.ErrNoRows) {
		return kept, err
	}
	err = d.write(ctx, func(t writeTx) error {
		kept, err = meta(ctx, t.QueryRowContext, name)
		if !errors.Is(err, sql.ErrNoRows) {
			return err
		}
		kept = value
		if _, err := t.ExecContext(ctx, `INSERT INTO meta (name, value) VALUES ($1, $2)`, name, value); err != nil {
			return err
		}
		_, err := t.log(ctx, KindMeta, name, put, 1)
		return err
	})
	if err != nil {
		return "", fmt.Errorf("fact %q: %w", name, err)
	}
	return kept, nil
}

func meta(ctx context.Context, q queryRow, name string) (value string, err error) {
	err = q(ctx, `SELECT value FROM meta WHERE name = $1`, name).Scan(&value)
	return value, err
}
