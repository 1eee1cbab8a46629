package db

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"io"
)

// Restoring says how a backup is to be put back.
type Restoring struct {
	Over bool // over a database that holds nothing the backup lacks
	Dry  bool // only say what would be done
}

// Restored says what a restore did, or would do.
type Restored struct {
	BackupInfo
	Replaced int64 `json:"replaced"`           // rows that gave way
	Upgraded bool  `json:"upgraded,omitempty"` // the backup is of an older schema
	Dry      bool  `json:"dry,omitempty"`
}

// RestoreTo puts a backup into the database at a URL, which need not be there
// yet. A backup of an older program is brought to the schema of this one. What
// may be replaced is for Restoring to say; a database with a change that the
// backup lacks is never replaced (ErrConflict). A dry run writes nothing.
func RestoreTo(ctx context.Context, url string, r io.ReadSeeker, how Restoring) (Restored, error) {
	done, err := restoreTo(ctx, url, r, how)
	if err != nil {
		return done, fmt.Errorf("restore into %s: %w", Redact(url), err)
	}
	return done, nil
}

func restoreTo(ctx context.Context, url string, r io.ReadSeeker, how Restoring) (done Restored, err error) {
	done.Dry = how.Dry
	if done.BackupInfo, err = CheckBackup(r); err != nil {
		return done, fmt.Errorf("%w; nothing was changed", err)
	}
	done.Upgraded = done.Schema < Newest
	have, err := SchemaOf(ctx, url)
	if err != nil {
		return done, err
	}
	if have > Newest {
		return done, &SchemaError{Have: have, Want: Newest}
	}
	if have > 0 {
		if done.Replaced, err = target(ctx, url, r, have, done.Schema, how.Over); err != nil {
			return done, err
		}
	}
	if how.Dry {
		return done, nil
	}
	if _, err := MigrateTo(ctx, url, done.Schema); err != nil {
		return done, err
	}
	if err := restoreAt(ctx, url, r, done.Replaced > 0); err != nil {
		return done, err
	}
	_, err = Migrate(ctx, url)
	return done, err
}

// target looks at the database that is to be restored into and counts the rows
// that would give way.
func target(ctx context.Context, url string, r io.ReadSeeker, have, want uint, over bool) (rows int64, err error) {
	d, err := connect(ctx, dialectOf(url), url)
	if err != nil {
		return 0, err
	}
	defer func() { err = errors.Join(err, d.Close()) }()
	if rows, err = d.rows(ctx, d.reader.QueryRowContext); err != nil || rows == 0 {
		return rows, err
	}
	if have != want {
		return rows, fmt.Errorf("%w: the database is not empty and has schema %d, the backup %d: restore into a new file; nothing was changed", ErrConflict, have, want)
	}
	return rows, d.snapshot(ctx, func(tx *sql.Tx) error { return d.mayReplace(ctx, tx, r, over) })
}

func restoreAt(ctx context.Context, url string, r io.ReadSeeker, over bool) error {
	d, err := connect(ctx, dialectOf(url), url)
	if err != nil {
		return err
	}
	return errors.Join(d.restore(ctx, r, over), d.Close())
}
