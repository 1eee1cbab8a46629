package db

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
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
		if err == nil && name != "schema_mark" && !slices.Contains(d.dialect.beside, name) {
			err = d.saveTable(ctx, old, name, &out)
		}
	}
	if err == nil {
		err = d.write(ctx, func(t writeTx) error { return t.pourRestored(ctx) })
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
