package db

import (
	"context"
	"embed"
	"errors"
	"fmt"
	"os"
	"slices"

	"github.com/golang-migrate/migrate/v4"
	"github.com/golang-migrate/migrate/v4/source/iofs"
)

//go:embed migrations
var migrations embed.FS

// Newest is the schema of this program: the number of the last migration. The
// two trees of migrations have the same numbers; a test sees to it.
const Newest uint = 8

// SchemaError says which schema a database has and which the program needs.
// It is an ErrSchema.
type SchemaError struct {
	Have, Want uint
	Foreign    bool // tables, but none of ours
	Format     int  // of a backup; 0 for a database
}

// Error says what to do about it.
func (e *SchemaError) Error() string {
	switch {
	case e.Format > backupFormat:
		return fmt.Sprintf("is a backup of format %d, this program reads up to %d: use the newer program; nothing was changed", e.Format, backupFormat)
	case e.Foreign:
		return "holds tables of another program: want an empty database or one of Hardtack's; nothing was changed"
	case e.Have > e.Want:
		return fmt.Sprintf("has schema %d, newer than this program's %d: use the newer program; nothing was changed", e.Have, e.Want)
	}
	return fmt.Sprintf("has schema %d, older than this program's %d: run \"hardtack migrate up\"; nothing was changed", e.Have, e.Want)
}

// Unwrap makes errors.Is(err, ErrSchema) hold.
func (e *SchemaError) Unwrap() error { return ErrSchema }

// Migration is what a migration did.
type Migration struct {
	From, To uint
	Copy     string // where the file was copied before; empty if it was not
	// Mended says that an earlier migration was interrupted. Each runs in a
	// transaction of its own, so the schema was that of From and whole; only
	// the migration's book-keeping had to be put right.
	Mended bool
}

// SchemaOf is the schema a database has; 0 is none yet. The database is only
// read.
func SchemaOf(ctx context.Context, url string) (uint, error) {
	d := dialectOf(url)
	if !d.exists(url) {
		return 0, nil
	}
	reader, err := d.look(url)
	if err != nil {
		return 0, fmt.Errorf("open %s: %w", Redact(url), err)
	}
	db := &DB{dialect: d, reader: reader, writer: reader}
	version, err := db.schema(ctx)
	if err != nil {
		err = fmt.Errorf("read the schema of %s: %w", Redact(url), err)
	}
	return version, errors.Join(err, db.Close())
}

func (d *DB) schema(ctx context.Context) (uint, error) {
	names, err := d.tableNames(ctx)
	if err != nil {
		return 0, err
	}
	if !slices.Contains(names, "schema_mark") {
		if len(names) > 0 {
			return 0, &SchemaError{Foreign: true}
		}
		return 0, nil
	}
	var version uint
	err = d.reader.QueryRowContext(ctx, `SELECT version FROM schema_mark`).Scan(&version)
	return version, err
}

func (d *DB) tableNames(ctx context.Context) ([]string, error) {
	rows, err := d.reader.QueryContext(ctx, d.dialect.tableNames)
	if err != nil {
		return nil, err
	}
	defer rows.Close()
	var out []string
	for rows.Next() {
		var name string
		if err := rows.Scan(&name); err != nil {
			return nil, err
		}
		if name != "schema_migrations" { // the book-keeping may outlive what it is about
			out = append(out, name)
		}
	}
	return out, rows.Err()
}

func (d *DB) checkSchema(ctx context.Context) error {
	have, err := d.schema(ctx)
	if err != nil {
		return err
	}
	if have != Newest {
		return &SchemaError{Have: have, Want: Newest}
	}
	return nil
}

// Migrate brings a database to the schema of this program. An SQLite file that
// has data is copied beside itself before.
func Migrate(ctx context.Context, url string) (Migration, error) {
	return MigrateTo(ctx, url, Newest)
}

// MigrateTo brings a database to any schema from 0 (empty, all data gone) to
// Newest. Each migration is all or nothing.
func MigrateTo(ctx context.Context, url string, to uint) (Migration, error) {
	done, err := migrateTo(ctx, url, to)
	if err != nil {
		return done, fmt.Errorf("migrate %s: %w", Redact(url), err)
	}
	return done, nil
}

func migrateTo(ctx context.Context, url string, to uint) (Migration, error) {
	from, err := SchemaOf(ctx, url)
	done := Migration{From: from, To: from}
	if err != nil {
		return done, err
	}
	if max(from, to) > Newest {
		return done, &SchemaError{Have: max(from, to), Want: Newest}
	}
	if from == to {
		return done, nil
	}
	d := dialectOf(url)
	if from > 0 && d.copyAs != nil {
		if done.Copy, err = copyBefore(ctx, d, url, from); err != nil {
			return done, err
		}
	}
	if done.Mended, err = run(d, url, from, to); err != nil {
		return done, err
	}
	done.To = to
	return done, nil
}

// copyBefore makes the copy whole before it gets its name.
func copyBefore(ctx context.Context, d dialect, url string, from uint) (string, error) {
	name := fmt.Sprintf("%s.schema-%d", url, from)
	part := name + ".part"
	if err := os.Remove(part); err != nil && !errors.Is(err, os.ErrNotExist) {
		return "", err
	}
	if err := d.copyAs(ctx, url, part); err != nil {
		return "", fmt.Errorf("copy before migrating: %w", err)
	}
	return name, os.Rename(part, name)
}

// run trusts the schema's own mark, not the book-keeping of the migrations,
// which calls a migration half done although it was rolled back.
func run(d dialect, url string, from, to uint) (mended bool, err error) {
	m, err := migrator(d, url)
	if err != nil {
		return false, err
	}
	defer func() {
		_, closing := m.Close()
		err = errors.Join(err, closing)
	}()
	booked, dirty, err := m.Version()
	if errors.Is(err, migrate.ErrNilVersion) {
		booked, dirty, err = 0, false, nil
	}
	if err != nil {
		return false, err
	}
	if dirty || booked != from {
		mended = true
		if err := m.Force(numberOr(from, -1)); err != nil {
			return mended, err
		}
	}
	if to == 0 {
		return mended, m.Down()
	}
	return mended, m.Migrate(to)
}

func numberOr(version uint, none int) int {
	if version == 0 {
		return none
	}
	return int(version)
}

func migrator(d dialect, url string) (*migrate.Migrate, error) {
	writer, err := d.openWriter(url)
	if err != nil {
		return nil, err
	}
	driver, err := d.migrator(writer)
	if err != nil {
		return nil, errors.Join(err, writer.Close())
	}
	files, err := iofs.New(migrations, "migrations/"+d.name)
	if err != nil {
		return nil, errors.Join(err, driver.Close())
	}
	return migrate.NewWithInstance("iofs", files, d.name, driver)
}
