package db

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"net/url"
	"os"
	"path/filepath"
	"strings"

	"github.com/golang-migrate/migrate/v4/database"
	migratesqlite "github.com/golang-migrate/migrate/v4/database/sqlite"
	"modernc.org/sqlite"
	sqlite3 "modernc.org/sqlite/lib"
)

// dialect is all that differs between the two databases.
type dialect struct {
	name          string // folder of its migrations
	migrateOnOpen bool
	write, read   sql.TxOptions
	tryLock       string // takes a lock of the session by its number, or says no; empty where one process has the file
	unlock        string
	walled        string // whether walls hold for the role in use; empty where there are none
	workFor       string // names the account a transaction works for; empty where there are no walls
	follows       string // whether a database is a copy that follows another; empty where there are none
	oneWriter     string // first statement of a write, empty where begin itself waits
	tableNames    string

	open     func(url string) (reader, writer *sql.DB, err error)
	look     func(url string) (*sql.DB, error) // to read only; leaves a file as it is
	exists   func(url string) bool
	migrator func(*sql.DB) (database.Driver, error)
	bulk     func(context.Context, *sql.Conn, *sql.Tx, table, []row) error
	filling  func(ctx context.Context, tx *sql.Tx, fill func() error) error // around a restore, which fills everything
	grants   func(schema, role string) []string                             // lets a role work with what is kept; nil where there are none
	beside   []string                                                       // tables that follow from others: filled with them, never backed up
	copyAs   func(ctx context.Context, url, to string) error                // before a migration; nil where an operator sees to it
	examine  func(ctx context.Context, d *sql.DB, url string) []Finding     // what only this kind of database can be asked
	retry    func(error) bool                                               // lost a race: the same transaction may pass now
	away     func(error) bool                                               // cannot be reached just now
	full     func(error) bool
}

type row = []any

func dialectOf(url string) dialect {
	if strings.HasPrefix(url, "postgres://") || strings.HasPrefix(url, "postgresql://") {
		return postgres
	}
	return sqliteFile
}

var sqliteFile = dialect{
	name:          "sqlite",
	migrateOnOpen: true,
	beside:        []string{poolsName, sumsName},
	read:          sql.TxOptions{ReadOnly: true}, // in WAL a reader sees one moment
	tableNames:    `SELECT name FROM sqlite_master WHERE type = 'table' AND name NOT LIKE 'sqlite_%'`,
	open:          openSQLite,
	look:          lookSQLite,
	examine:       examineSQLite,
	exists:        func(url string) bool { _, err := os.Stat(url); return err == nil },
	migrator: func(d *sql.DB) (database.Driver, error) {
		return migratesqlite.WithInstance(d, &migratesqlite.Config{})
	},
	bulk:    insertRows,
	filling: fillUnindexed,
	copyAs:  vacuumInto,
	retry:   func(err error) bool { return sqliteCode(err) == sqlite3.SQLITE_BUSY },
	full:    func(err error) bool { return sqliteCode(err) == sqlite3.SQLITE_FULL },
	away:    func(error) bool { return false },
}

// openWriter opens only what writes.
func (d dialect) openWriter(url string) (*sql.DB, error) { return writerOf(d.open(url)) }

func writerOf(reader, writer *sql.DB, err error) (*sql.DB, error) {
	if err == nil && reader != writer {
		err = reader.Close()
	}
	return writer, err
}

// openSQLite gives one connection that writes and several that only read.
// Commits reach the disk before they return.
func openSQLite(path string) (reader, writer *sql.DB, err error) { return openSynced(path, "FULL") }

func openSynced(path, synchronous string) (reader, writer *sql.DB, err error) {
	if err := os.MkdirAll(filepath.Dir(path), 0o700); err != nil {
		return nil, nil, err
	}
	name := sqliteName(path) + "?_pragma=busy_timeout(10000)&_pragma=foreign_keys(1)&_pragma=synchronous(" + synchronous + ")"
	writer, err = sql.Open("sqlite", name+"&_pragma=journal_mode(WAL)&_pragma=cache_size(-65536)&_txlock=immediate")
	if err != nil {
		return nil, nil, err
	}
	writer.SetMaxOpenConns(1)
	reader, err = sql.Open("sqlite", name+"&_pragma=query_only(1)")
	if err != nil {
		return nil, nil, errors.Join(err, writer.Close())
	}
	reader.SetMaxOpenConns(8)
	reader.SetMaxIdleConns(8)
	return reader, writer, nil
}

func sqliteName(path string) string { return "file:" + (&url.URL{Path: path}).EscapedPath() }

// lookSQLite opens a file that must be there. What a killed program left in the
// log beside it is read, not moved into the file; a half-done transaction that
// a journal beside it tells of has to be undone before anything can be read.
func lookSQLite(path string) (*sql.DB, error) {
	mode := "ro"
	if _, err := os.Stat(path + "-journal"); err == nil {
		mode = "rw"
	}
	return sql.Open("sqlite", sqliteName(path)+"?mode="+mode+"&_pragma=query_only(1)&_pragma=busy_timeout(10000)")
}

// vacuumInto copies a whole SQLite file, the unfinished log included.
func vacuumInto(ctx context.Context, from, to string) error {
	d, err := writerOf(openSQLite(from))
	if err != nil {
		return err
	}
	_, err = d.ExecContext(ctx, `VACUUM INTO $1`, to)
	return errors.Join(err, d.Close())
}

// insertRows inserts row by row: a statement of several rows would need a
// journal of its own for each, and takes four times as long.
func insertRows(ctx context.Context, _ *sql.Conn, tx *sql.Tx, t table, rows []row) error {
	stmt, err := tx.PrepareContext(ctx, fmt.Sprintf("INSERT INTO %s (%s) VALUES (%s)",
		t.name, strings.Join(t.columns, ", "), places(1, len(t.columns))))
	if err != nil {
		return err
	}
	for _, r := range rows {
		if _, err := stmt.ExecContext(ctx, r...); err != nil {
			return errors.Join(err, stmt.Close())
		}
	}
	return stmt.Close()
}

// What SQLite says of a row that breaks its table's rules.
const (
	constraintBroken = sqlite3.SQLITE_CONSTRAINT
	wrongType        = sqlite3.SQLITE_MISMATCH
)

// sqliteCode is SQLite's primary result code.
func sqliteCode(err error) int {
	var e *sqlite.Error
	if errors.As(err, &e) {
		return e.Code() & 0xff
	}
	return 0
}
