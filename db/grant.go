package db

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
)

// Grant lets a role of the database do what the program does with what is kept
// there, and no more: it may neither change the schema nor pass the walls
// between accounts, which do not hold for superusers. The role must be there.
// ErrInvalid for a file, which has no roles.
func Grant(ctx context.Context, url, role string) error {
	d := dialectOf(url)
	if d.grants == nil {
		return fmt.Errorf("grant to %q: %w: a file has no roles", role, ErrInvalid)
	}
	err := checkText(role)
	if err == nil {
		err = grant(ctx, d, url, role)
	}
	if err != nil {
		return fmt.Errorf("grant to %q in %s: %w; nothing was changed", role, Redact(url), err)
	}
	return nil
}

func grant(ctx context.Context, d dialect, url, role string) (err error) {
	db, err := connect(ctx, d, url)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, db.Close()) }()
	if err := db.checkSchema(ctx); err != nil {
		return err
	}
	tx, err := db.writer.BeginTx(ctx, nil)
	if err != nil {
		return err
	}
	defer tx.Rollback() // after a commit it does nothing
	var schema string
	if err := tx.QueryRowContext(ctx, `SELECT current_schema()`).Scan(&schema); err != nil {
		return err
	}
	for _, text := range d.grants(schema, role) {
		if _, err := tx.ExecContext(ctx, text); err != nil {
			return err
		}
	}
	return tx.Commit()
}

// Pool tells of the connections that write.
func (d *DB) Pool() sql.DBStats { return d.writer.Stats() }

// Walled says whether the walls between accounts hold for the role that the
// program works as; in a file there are none.
func (d *DB) Walled(ctx context.Context) (bool, error) {
	if d.dialect.walled == "" {
		return false, nil
	}
	var holds bool
	if err := d.reader.QueryRowContext(ctx, d.dialect.walled).Scan(&holds); err != nil {
		return false, fmt.Errorf("walls between accounts: %w", err)
	}
	return holds, nil
}
