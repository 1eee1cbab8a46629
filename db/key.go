package db

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
)

// As names the account somebody works for. Where the database can, it then
// shows and changes that account's rows only, whatever the statement says.
func As(ctx context.Context, account string) context.Context {
	return context.WithValue(ctx, accountKey{}, account)
}

type accountKey struct{}

// workFor tells the database for whom a transaction works.
func (d *DB) workFor(ctx context.Context, tx *sql.Tx) error {
	account, _ := ctx.Value(accountKey{}).(string)
	if account == "" || d.dialect.workFor == "" {
		return nil
	}
	_, err := tx.ExecContext(ctx, d.dialect.workFor, account)
	return err
}

// AddKey adds a key. ErrConflict when the prefix is taken.
func (d *DB) AddKey(ctx context.Context, k Key) error {
	if err := checkText(k.Label, k.Scopes); err != nil {
		return fmt.Errorf("add key: %w", err)
	}
	err := d.write(ctx, func(t writeTx) error {
		if err := t.insertKey(ctx, k); err != nil {
			return err
		}
		return t.audit(ctx, k.Account, "add key", k.Prefix)
	})
	if err != nil {
		return fmt.Errorf("add key: %w", err)
	}
	return nil
}

// Key gives a key by its prefix, ErrNotFound when there is none.
func (d *DB) Key(ctx context.Context, prefix string) (Key, error) {
	keys, err := d.keys(ctx, `WHERE prefix = $1`, prefix)
	if err == nil && len(keys) == 0 {
		err = fmt.Errorf("key: %w", ErrNotFound)
	}
	if err != nil {
		return Key{}, err
	}
	return keys[0], nil
}

// Keys are an account's keys, revoked ones too, by age.
func (d *DB) Keys(ctx context.Context, account string) ([]Key, error) {
	return d.keys(ctx, `WHERE account = $1 ORDER BY created_ms, prefix`, account)
}

func (d *DB) keys(ctx context.Context, where, arg string) (out []Key, err error) {
	err = d.ask(ctx, func(q asker) error {
		rows, err := q.QueryContext(ctx, `
			SELECT prefix, account, sum, scopes, label, created_ms, ends_ms, revoked_ms, used_ms FROM access_key `+where, arg)
		if err != nil {
			return err
		}
		defer rows.Close()
		for rows.Next() {
			var k Key
			err := rows.Scan(&k.Prefix, &k.Account, &k.Sum, &k.Scopes, &k.Label, &k.CreatedMs, &k.EndsMs, &k.RevokedMs, &k.UsedMs)
			if err != nil {
				return err
			}
			out = append(out, k)
		}
		return rows.Err()
	})
	if err != nil {
		return nil, fmt.Errorf("keys: %w", err)
	}
	return out, nil
}

// RevokeKey ends an account's key. Another account's key is ErrNotFound, as
// one that is not there.
func (d *DB) RevokeKey(ctx context.Context, account, prefix string) error {
	err := d.write(ctx, func(t writeTx) error {
		done, err := t.ExecContext(ctx, `
			UPDATE access_key SET revoked_ms = $1 WHERE prefix = $2 AND account = $3 AND revoked_ms = 0`,
			t.db.Now().UnixMilli(), prefix, account)
		if err != nil {
			return err
		}
		if n, err := done.RowsAffected(); err != nil || n == 0 {
			return errors.Join(err, ErrNotFound)
		}
		return t.audit(ctx, account, "revoke key", prefix)
	})
	if err != nil {
		return fmt.Errorf("revoke key: %w", err)
	}
	return nil
}

// ClaimReporters makes reporters' ids an account's own where nobody's they are
// yet, and gives those that are another account's.
func (d *DB) ClaimReporters(ctx context.Context, account string, reporters []string) (others []string, err error) {
	if err := checkText(reporters...); err != nil {
		return nil, fmt.Errorf("claim reporters: %w", err)
	}
	whose := func(q queryRow, r string) (string, error) {
		var owner string
		err := q(ctx, `SELECT account FROM author WHERE reporter = $1`, r).Scan(&owner)
		if errors.Is(err, sql.ErrNoRows) {
			err = nil
		}
		return owner, err
	}
	var fresh []string
	for _, r := range reporters {
		owner, err := whose(d.reader.QueryRowContext, r)
		switch {
		case err != nil:
			return nil, fmt.Errorf("claim reporters: %w", err)
		case owner == "":
			fresh = append(fresh, r)
		case owner != account:
			others = append(others, r)
		}
	}
	if len(fresh) == 0 {
		return others, nil
	}
	err = d.write(ctx, func(t writeTx) error {
		lost := []string(nil)
		for _, r := range fresh {
			owner, err := whose(t.QueryRowContext, r)
			if err != nil {
				return err
			}
			if owner != "" && owner != account {
				lost = append(lost, r)
			}
			_, err = t.ExecContext(ctx, `INSERT INTO author (reporter, account) VALUES ($1, $2) ON CONFLICT (reporter) DO NOTHING`, r, account)
			if err != nil {
				return err
			}
		}
		others = append(others, lost...)
		return nil
	})
	if err != nil {
		return nil, fmt.Errorf("claim reporters: %w", err)
	}
	return others, nil
}

// Reporters are the reporters' ids of an account.
func (d *DB) Reporters(ctx context.Context, account string) (out []string, err error) {
	err = d.snapshot(ctx, func(tx *sql.Tx) error {
		out, err = strings1(ctx, tx, `SELECT reporter FROM author WHERE account = $1 ORDER BY reporter`, account)
		return err
	})
	if err != nil {
		return nil, fmt.Errorf("reporters: %w", err)
	}
	return out, nil
}
