package db

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
)

// Kind is a kind of thing that is kept: of the change log, and of documents.
type Kind string

// The kinds. Those after KindLog are documents.
const (
	KindReport Kind = "report"
	KindRate   Kind = "rate"
	KindLot    Kind = "lot"
	KindLocker Kind = "locker"
	KindLog    Kind = "log"

	KindPort       Kind = "port"
	KindItem       Kind = "item"
	KindVessel     Kind = "vessel"
	KindCrew       Kind = "crew"
	KindVoyage     Kind = "voyage"
	KindStoresList Kind = "stores_list"
	KindSettings   Kind = "settings"
	KindPlan       Kind = "plan"
	KindDraft      Kind = "draft" // a list being shopped, as typed so far
	KindAisles     Kind = "aisles"
	KindUndo       Kind = "undo"  // what an import brought
	KindWorth      Kind = "worth" // up to which price what was bought was worth it, by vessel
)

// Document is a JSON text with an id of its own and a revision: the number of
// the change that wrote it, so that a revision never comes again.
type Document struct {
	ID       string
	Revision int64
	Body     []byte
}

// What a writer expects of the revision it overwrites.
const (
	AnyRevision int64 = -1
	Absent      int64 = 0 // must not be there yet
)

// Put keeps a document and gives its revision. The same body again changes
// nothing. When the revision there is not the one expected, the error is
// ErrStale; with Absent and something there, ErrConflict.
func (d *DB) Put(ctx context.Context, kind Kind, id string, body []byte, expect int64) (int64, error) {
	if err := checkText(id, string(body)); err != nil {
		return 0, fmt.Errorf("put %s %q: %w", kind, id, err)
	}
	var revision int64
	err := d.write(ctx, func(t writeTx) error {
		old, err := document(ctx, t.QueryRowContext, kind, id)
		if err != nil && !errors.Is(err, ErrNotFound) {
			return err
		}
		if err == nil && string(old.Body) == string(body) {
			revision = old.Revision
			return nil
		}
		if err := expected(old.Revision, expect); err != nil {
			return err
		}
		revision, err = t.put(ctx, kind, id, body)
		return err
	})
	if err != nil {
		return 0, fmt.Errorf("put %s %q: %w", kind, id, err)
	}
	return revision, nil
}

func (t writeTx) put(ctx context.Context, kind Kind, id string, body []byte) (int64, error) {
	seq, err := t.log(ctx, kind, id, put, 1)
	if err != nil {
		return 0, err
	}
	_, err = t.ExecContext(ctx, `
		INSERT INTO document (kind, id, revision, body) VALUES ($1, $2, $3, $4)
		ON CONFLICT (kind, id) DO UPDATE SET revision = excluded.revision, body = excluded.body`,
		string(kind), id, seq, string(body))
	return seq, err
}

func expected(there, expect int64) error {
	switch {
	case expect == AnyRevision || expect == there:
		return nil
	case expect == Absent:
		return fmt.Errorf("%w; nothing was changed", ErrConflict)
	}
	return fmt.Errorf("%w: expected revision %d, found %d; nothing was changed", ErrStale, expect, there)
}

type queryRow func(context.Context, string, ...any) *sql.Row

func document(ctx context.Context, q queryRow, kind Kind, id string) (Document, error) {
	doc := Document{ID: id}
	err := q(ctx, `SELECT revision, body FROM document WHERE kind = $1 AND id = $2`, string(kind), id).
		Scan(&doc.Revision, &doc.Body)
	if errors.Is(err, sql.ErrNoRows) {
		return Document{}, ErrNotFound
	}
	return doc, err
}

// Get gives a document, ErrNotFound when there is none.
func (d *DB) Get(ctx context.Context, kind Kind, id string) (Document, error) {
	doc, err := document(ctx, d.reader.QueryRowContext, kind, id)
	if err != nil {
		return Document{}, fmt.Errorf("%s %q: %w", kind, id, err)
	}
	return doc, nil
}

// List gives all documents of a kind by id.
func (d *DB) List(ctx context.Context, kind Kind) ([]Document, error) {
	rows, err := d.reader.QueryContext(ctx, `SELECT id, revision, body FROM document WHERE kind = $1 ORDER BY id`, string(kind))
	if err != nil {
		return nil, fmt.Errorf("list %s: %w", kind, err)
	}
	defer rows.Close()
	var out []Document
	for rows.Next() {
		var doc Document
		if err := rows.Scan(&doc.ID, &doc.Revision, &doc.Body); err != nil {
			return nil, fmt.Errorf("list %s: %w", kind, err)
		}
		out = append(out, doc)
	}
	return out, rows.Err()
}

// Delete takes a document away, and with it the documents of other kinds that
// bear the same id and mean nothing without it. ErrNotFound when there is
// none, ErrStale as with Put.
func (d *DB) Delete(ctx context.Context, kind Kind, id string, expect int64, with ...Kind) error {
	err := d.write(ctx, func(t writeTx) error {
		old, err := document(ctx, t.QueryRowContext, kind, id)
		if err != nil {
			return err
		}
		if err := expected(old.Revision, expect); err != nil {
			return err
		}
		for _, k := range append([]Kind{kind}, with...) {
			if err := t.delete(ctx, k, id); err != nil {
				return err
			}
		}
		return nil
	})
	if err != nil {
		return fmt.Errorf("delete %s %q: %w", kind, id, err)
	}
	return nil
}

func (t writeTx) delete(ctx context.Context, kind Kind, id string) error {
	done, err := t.ExecContext(ctx, `DELETE FROM document WHERE kind = $1 AND id = $2`, string(kind), id)
	if err != nil {
		return err
	}
	n, err := done.RowsAffected()
	if err != nil || n == 0 {
		return err
	}
	_, err = t.log(ctx, kind, id, deleted, 1)
	return err
}
