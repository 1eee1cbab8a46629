// Package db keeps everything that outlives a process, in an SQLite file or in
// PostgreSQL, with one SQL text for both.
//
// Every write runs in one serializable transaction, one writer at a time, and
// leaves a row in the change log in that same transaction. The numbers of the
// log rise in commit order, so "what came after change 41" has one answer.
// Days are YYYY-MM-DD, moments Unix milliseconds, quantities millionths of an
// item's unit, money minor units.
package db

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"regexp"
	"strings"
	"sync"
	"sync/atomic"
	"time"
)

// What callers may test for with errors.Is. Everything else is a fault.
// Whichever it is, nothing was changed.
var (
	ErrNotFound = errors.New("not found")
	ErrConflict = errors.New("already there with other content")
	ErrStale    = errors.New("changed by someone else meanwhile")
	ErrSchema   = errors.New("schema does not fit this program")
	ErrInvalid  = errors.New("cannot be kept")
	ErrFull     = errors.New("disk full")
	ErrDamaged  = errors.New("damaged backup")
)

// DB is an open database. It is safe for use by many goroutines.
type DB struct {
	// Now dates the change log; nothing else depends on it. Set it, if at
	// all, before first use.
	Now func() time.Time

	dialect dialect
	reader  *sql.DB
	writer  *sql.DB
	far     *DB      // a copy that follows; nil: none
	alone   sync.Map // what runs alone in this process, by name
	// backed is the change up to which all that was told and replaced is known
	// to be taken back; 0 until it was once looked through.
	backed atomic.Int64
}

// Open opens the SQLite file at a path, or PostgreSQL at a postgres:// URL.
//
// A file that does not exist is created; an older one is copied beside itself
// and then migrated. A PostgreSQL database must have exactly the schema of this
// program, see Migrate. Otherwise, and for a file newer than the program, the
// error is ErrSchema (a *SchemaError) and the database is left untouched.
func Open(ctx context.Context, url string) (*DB, error) {
	d := dialectOf(url)
	if d.migrateOnOpen {
		if _, err := Migrate(ctx, url); err != nil {
			return nil, err
		}
	}
	db, err := connect(ctx, d, url)
	if err != nil {
		return nil, fmt.Errorf("open %s: %w", Redact(url), err)
	}
	if err := db.checkSchema(ctx); err != nil {
		return nil, errors.Join(fmt.Errorf("open %s: %w", Redact(url), err), db.Close())
	}
	return db, nil
}

func connect(ctx context.Context, d dialect, url string) (*DB, error) {
	reader, writer, err := d.open(url)
	if err != nil {
		return nil, err
	}
	db := &DB{Now: time.Now, dialect: d, reader: reader, writer: writer}
	if err := writer.PingContext(ctx); err != nil {
		return nil, errors.Join(err, db.Close())
	}
	return db, nil
}

// Close closes the database.
func (d *DB) Close() error {
	err := d.writer.Close()
	if d.far != nil {
		err = errors.Join(err, d.far.Close())
	}
	if d.reader != d.writer {
		err = errors.Join(d.reader.Close(), err)
	}
	return err
}

var secretParameter = regexp.MustCompile(`([?&](?:ssl)?password=)[^&]*`)

// Redact is a database URL without its password, for messages.
func Redact(url string) string {
	url = secretParameter.ReplaceAllString(url, "$1***")
	head, rest, ok := strings.Cut(url, "://")
	at := strings.LastIndex(rest, "@")
	if !ok || at < 0 {
		return url
	}
	user, _, _ := strings.Cut(rest[:at], ":")
	return head + "://" + user + rest[at:]
}
