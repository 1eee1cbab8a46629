package db

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"time"
)

// Grade is how a finding is to be taken.
type Grade string

// The grades.
const (
	Well  Grade = "well"
	Note  Grade = "note"  // worth knowing, nothing to do
	Wrong Grade = "wrong" // something to see to
)

// Finding is one thing that was looked at.
type Finding struct {
	About string `json:"about"`
	Grade Grade  `json:"grade"`
	Found string `json:"found"`
	Do    string `json:"do,omitempty"`
}

func well(about, found string, a ...any) Finding {
	return Finding{about, Well, fmt.Sprintf(found, a...), ""}
}

func note(about, do, found string, a ...any) Finding {
	return Finding{about, Note, fmt.Sprintf(found, a...), do}
}

func wrong(about, do, found string, a ...any) Finding {
	return Finding{about, Wrong, fmt.Sprintf(found, a...), do}
}

// Examine looks a database over and says what is wrong with it and what to do.
// The database is only read; an older or a damaged one is not touched.
func Examine(ctx context.Context, url string, now time.Time) []Finding {
	d := dialectOf(url)
	if !d.exists(url) {
		return []Finding{note("place", "nothing: the first command that keeps something makes it", "there is no database at %s yet", Redact(url))}
	}
	reader, err := d.look(url)
	if err != nil {
		return []Finding{wrong("place", "correct the address", "%s: %v", Redact(url), err)}
	}
	defer reader.Close() // it was only read
	db := &DB{Now: time.Now, dialect: d, reader: reader, writer: reader}
	out := d.examine(ctx, reader, url)
	version, fits := db.examineSchema(ctx, url)
	out = append(out, version)
	if fits {
		out = append(out, db.examineContent(ctx), db.examineLog(ctx), db.examineClock(ctx, now))
	}
	return out
}

const (
	doUpgrade = `run "hardtack migrate up", after a backup`
	doRestore = `put the last backup into a new file ("hardtack backup restore FILE --db NEW"), or save what can be read ("hardtack recover DAMAGED --into NEW")`
)

func (d *DB) examineSchema(ctx context.Context, url string) (f Finding, fits bool) {
	const about = "schema"
	have, err := d.schema(ctx)
	var s *SchemaError
	switch {
	case errors.As(err, &s) && s.Foreign:
		return wrong(about, "name another file or database with --db", "%s holds tables of another program", Redact(url)), false
	case err != nil:
		return wrong(about, doRestore, "the schema cannot be read: %v", err), false
	case have > Newest:
		return wrong(about, "use the newer program; this one leaves the database alone", "schema %d is newer than this program's %d", have, Newest), false
	case have < Newest && d.dialect.migrateOnOpen:
		return note(about, "nothing: the next command copies the file and upgrades it", "schema %d is older than this program's %d", have, Newest), false
	case have < Newest:
		return wrong(about, doUpgrade, "schema %d is older than this program's %d", have, Newest), false
	}
	return well(about, "schema %d is this program's", have), true
}

// examineContent reads every row there is.
func (d *DB) examineContent(ctx context.Context) Finding {
	if err := d.Backup(ctx, io.Discard); err != nil {
		return wrong("content", doRestore, "not every row can be read: %v", err)
	}
	rows, err := d.rows(ctx, d.reader.QueryRowContext)
	if err != nil {
		return wrong("content", doRestore, "rows cannot be counted: %v", err)
	}
	return well("content", "all %d rows can be read", rows)
}

// examineLog holds the change log against itself and against what bears its
// numbers.
func (d *DB) examineLog(ctx context.Context) Finding {
	const about = "change log"
	var count, last, report, document int64
	err := d.snapshot(ctx, func(tx *sql.Tx) error {
		for text, into := range map[string]*int64{
			`SELECT COUNT(*) FROM change`:                     &count,
			`SELECT COALESCE(MAX(seq), 0) FROM change`:        &last,
			`SELECT COALESCE(MAX(seq), 0) FROM report`:        &report,
			`SELECT COALESCE(MAX(revision), 0) FROM document`: &document,
		} {
			if err := tx.QueryRowContext(ctx, text).Scan(into); err != nil {
				return err
			}
		}
		return nil
	})
	switch {
	case err != nil:
		return wrong(about, doRestore, "it cannot be read: %v", err)
	case max(report, document) > last:
		return wrong(about, doRestore, "something bears the change %d, but the log ends at %d: changes were lost", max(report, document), last)
	case count != last:
		return note(about, "nothing, if this database was recovered from a damaged one", "%d changes are numbered up to %d: some are missing", count, last)
	}
	return well(about, "%d changes without a gap", count)
}

func (d *DB) examineClock(ctx context.Context, now time.Time) Finding {
	const about = "clock"
	var at int64
	if err := d.reader.QueryRowContext(ctx, `SELECT COALESCE(MAX(at_ms), 0) FROM change`).Scan(&at); err != nil {
		return wrong(about, doRestore, "the change log cannot be read: %v", err)
	}
	if last := time.UnixMilli(at); last.After(now.Add(24 * time.Hour)) {
		return wrong(about, "set the clock; days of new reports come from it", "a change is dated %s, and by this machine's clock it is %s",
			last.UTC().Format(time.DateTime), now.UTC().Format(time.DateTime))
	}
	return well(about, "no change is dated in the future")
}

// examineSQLite asks what only a file can be asked: the room around it, its
// pages, and what unfinished work left beside it.
func examineSQLite(ctx context.Context, d *sql.DB, path string) []Finding {
	out := []Finding{examinePages(ctx, d), examineRoom(path)}
	left, err := filepath.Glob(path + ".schema-*")
	if err == nil && len(left) > 0 {
		out = append(out, note("copies", "keep the last one until the program has run well for a while; then they may go", "copies made before migrating: %q", left))
	}
	return out
}

func examinePages(ctx context.Context, d *sql.DB) Finding {
	const about = "pages"
	rows, err := d.QueryContext(ctx, `PRAGMA integrity_check(5)`)
	if err != nil {
		return wrong(about, doRestore, "the file cannot be read: %v", err)
	}
	defer rows.Close()
	var said []string
	for rows.Next() {
		var line string
		if err := rows.Scan(&line); err != nil {
			return wrong(about, doRestore, "the file cannot be read: %v", err)
		}
		said = append(said, line)
	}
	if err := rows.Err(); err != nil {
		return wrong(about, doRestore, "the file cannot be read: %v", err)
	}
	if len(said) != 1 || said[0] != "ok" {
		return wrong(about, doRestore, "the file is damaged: %q", said)
	}
	return well(about, "every page and index is in order")
}

// roomWanted is what should be free beside a database: a migration copies the
// file, and writing needs some.
func roomWanted(size int64) int64 { return 2*size + 32<<20 }

func examineRoom(path string) Finding {
	const about = "room"
	const do = "make room on the disk: a full disk refuses to keep anything new"
	info, err := os.Stat(path)
	if err != nil {
		return wrong(about, do, "%v", err)
	}
	free, err := freeBytes(filepath.Dir(path))
	switch {
	case err != nil:
		return note(about, "look yourself", "how much of the disk is free cannot be told: %v", err)
	case free < roomWanted(info.Size()):
		return wrong(about, do, "%d MB of the disk are free, want %d", free>>20, roomWanted(info.Size())>>20)
	}
	return well(about, "%d MB of the disk are free", free>>20)
}

// examinePostgres asks whether the server keeps what it acknowledges, and
// accounts apart.
func examinePostgres(ctx context.Context, d *sql.DB, url string) []Finding {
	kept := well("durability", "the server writes to its disk before it acknowledges")
	for _, setting := range []string{"fsync", "full_page_writes", "synchronous_commit"} {
		var value string
		if err := d.QueryRowContext(ctx, `SHOW `+setting).Scan(&value); err != nil {
			return []Finding{wrong("place", "see that the server runs and the address is right", "%s: %v", Redact(url), err)}
		}
		if value == "off" {
			kept = wrong("durability", "set "+setting+" = on in the server's configuration", "%s is off: a power cut may take what was acknowledged", setting)
			break
		}
	}
	return []Finding{kept, examineWalls(ctx, d)}
}

// examineWalls asks whether the role in use sees over the walls between
// accounts.
func examineWalls(ctx context.Context, d *sql.DB) Finding {
	const about = "walls"
	var holds bool
	switch err := d.QueryRowContext(ctx, roleIsWalled).Scan(&holds); {
	case err != nil:
		return wrong(about, "see that the server runs", "%v", err)
	case !holds:
		return note(about, `to share it among boats, serve as a role with fewer rights: "hardtack migrate up --role NAME"`,
			"the database lets this role through the walls between accounts")
	}
	return well(about, "the database itself keeps accounts apart")
}
