package db

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"math/rand/v2"
	"time"
	"unicode/utf8"
)

// attempts is how often a transaction that lost a race is tried.
const attempts = 10

// writeTx is a transaction that writes.
type writeTx struct {
	*sql.Tx
	conn *sql.Conn
	db   *DB
}

// write runs f in one serializable transaction, again when it lost a race: f
// must do nothing but through its argument. An error of f undoes everything.
func (d *DB) write(ctx context.Context, f func(writeTx) error) error {
	for n := 1; ; n++ {
		err := d.writeOnce(ctx, f)
		switch {
		case err == nil:
			return nil
		case d.dialect.full(err):
			return fmt.Errorf("%w: %w", ErrFull, err)
		case n == attempts || !d.dialect.retry(err):
			return err
		}
		select {
		case <-ctx.Done():
			return errors.Join(ctx.Err(), err)
		case <-time.After(time.Duration(rand.Int64N(int64(n))+1) * 5 * time.Millisecond):
		}
	}
}

func (d *DB) writeOnce(ctx context.Context, f func(writeTx) error) (err error) {
	conn, err := d.writer.Conn(ctx)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, conn.Close()) }()
	tx, err := conn.BeginTx(ctx, &d.dialect.write)
	if err != nil {
		return err
	}
	defer tx.Rollback() // after a commit it does nothing
	if d.dialect.oneWriter != "" {
		if _, err := tx.ExecContext(ctx, d.dialect.oneWriter); err != nil {
			return err
		}
	}
	if err := d.workFor(ctx, tx); err != nil {
		return err
	}
	if err := f(writeTx{tx, conn, d}); err != nil {
		return err
	}
	return tx.Commit()
}

// What a change did.
const (
	added   = "add"
	put     = "put"
	deleted = "delete"
)

// log writes the change log's row for what the transaction does and gives its
// number.
func (t writeTx) log(ctx context.Context, kind Kind, ref, what string, facts int) (int64, error) {
	return t.logAt(ctx, t.db.Now().UnixMilli(), kind, ref, what, facts)
}

func (t writeTx) logAt(ctx context.Context, atMs int64, kind Kind, ref, what string, facts int) (int64, error) {
	var seq int64
	if err := t.QueryRowContext(ctx, `SELECT COALESCE(MAX(seq), 0) + 1 FROM change`).Scan(&seq); err != nil {
		return 0, err
	}
	_, err := t.ExecContext(ctx, `
		INSERT INTO change (seq, at_ms, kind, ref, what, facts) VALUES ($1, $2, $3, $4, $5, $6)`,
		seq, atMs, string(kind), ref, what, facts)
	return seq, err
}

// bulk inserts rows the fastest way the database has.
func (t writeTx) bulk(ctx context.Context, into table, rows []row) error {
	return t.db.dialect.bulk(ctx, t.conn, t.Tx, into, rows)
}

// asker is what a question is asked of.
type asker interface {
	querier
	QueryRowContext(context.Context, string, ...any) *sql.Row
}

// ask runs f, which asks one question about what there are walls between. Where
// nobody in particular asks there is no need for a transaction around it, whose
// begin and end take a trip to the server each.
func (d *DB) ask(ctx context.Context, f func(asker) error) error {
	if account, _ := ctx.Value(accountKey{}).(string); account == "" || d.dialect.workFor == "" {
		return f(d.reader)
	}
	return d.snapshot(ctx, func(tx *sql.Tx) error { return f(tx) })
}

// snapshot runs f on one moment's state.
func (d *DB) snapshot(ctx context.Context, f func(*sql.Tx) error) error {
	tx, err := d.reader.BeginTx(ctx, &d.dialect.read)
	if err != nil {
		return err
	}
	defer tx.Rollback() // nothing was written
	if err := d.workFor(ctx, tx); err != nil {
		return err
	}
	return f(tx)
}

// Change is the number of the last change to any of the kinds, or of any
// change when none is named; 0 before the first.
func (d *DB) Change(ctx context.Context, kinds ...Kind) (int64, error) {
	text, args := `SELECT COALESCE(MAX(seq), 0) FROM change`, []any(nil)
	if len(kinds) > 0 {
		text += ` WHERE kind IN (` + places(1, len(kinds)) + `)`
		for _, k := range kinds {
			args = append(args, string(k))
		}
	}
	var seq int64
	if err := d.reader.QueryRowContext(ctx, text, args...).Scan(&seq); err != nil {
		return 0, fmt.Errorf("read the change log: %w", err)
	}
	return seq, nil
}

// places is "$first, …", n of them.
func places(first, n int) string {
	b := make([]byte, 0, 6*n)
	for i := range n {
		if i > 0 {
			b = append(b, ", "...)
		}
		b = fmt.Appendf(b, "$%d", first+i)
	}
	return string(b)
}

// checkText refuses what one of the two databases would not keep as it is.
func checkText(fields ...string) error {
	for _, s := range fields {
		if !utf8.ValidString(s) {
			return fmt.Errorf("%w: %q is not UTF-8; nothing was changed", ErrInvalid, s)
		}
		for i := range len(s) {
			if s[i] == 0 {
				return fmt.Errorf("%w: %q has a zero byte; nothing was changed", ErrInvalid, s)
			}
		}
	}
	return nil
}
