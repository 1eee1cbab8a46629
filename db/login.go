package db

import (
	"context"
	"errors"
	"fmt"
)

// Login is the key of a login and what comes with it.
type Login struct {
	Key     Key
	Follows string // prefix of the login it takes the place of; empty: none
	Most    int    // logins of the account that may hold at once, at least 1
	How     string // what the audit trail says
}

// AddLogin adds the key of a login and ends the one it follows. Of the logins
// that hold, those quiet longest end where there are more than the most.
func (d *DB) AddLogin(ctx context.Context, l Login) error {
	k := l.Key
	err := d.write(ctx, func(t writeTx) error {
		now := t.db.Now().UnixMilli()
		if err := t.insertKey(ctx, k); err != nil {
			return err
		}
		const end = `UPDATE access_key SET revoked_ms = $1 WHERE account = $2 AND label = $3 AND revoked_ms = 0 AND `
		if _, err := t.ExecContext(ctx, end+`prefix = $4`, now, k.Account, k.Label, l.Follows); err != nil {
			return err
		}
		_, err := t.ExecContext(ctx, end+`prefix NOT IN (
			SELECT prefix FROM access_key WHERE account = $2 AND label = $3 AND revoked_ms = 0 AND ends_ms > $1
			ORDER BY CASE WHEN prefix = $4 THEN 0 ELSE 1 END, CASE WHEN used_ms > created_ms THEN used_ms ELSE created_ms END DESC, prefix LIMIT $5)`,
			now, k.Account, k.Label, k.Prefix, l.Most)
		if err != nil {
			return err
		}
		return t.audit(ctx, k.Account, l.How, k.Prefix)
	})
	if err != nil {
		return fmt.Errorf("add login: %w", err)
	}
	return nil
}

// UseKey notes when a key was used. That is no change of what is kept and
// leaves no row in the log.
func (d *DB) UseKey(ctx context.Context, prefix string, nowMs int64) error {
	err := d.write(ctx, func(t writeTx) error {
		_, err := t.ExecContext(ctx, `UPDATE access_key SET used_ms = $1 WHERE prefix = $2 AND used_ms < $1`, nowMs, prefix)
		return err
	})
	if err != nil {
		return fmt.Errorf("use key: %w", err)
	}
	return nil
}

func (t writeTx) insertKey(ctx context.Context, k Key) error {
	done, err := t.ExecContext(ctx, `
		INSERT INTO access_key (prefix, account, sum, scopes, label, created_ms, ends_ms, revoked_ms, used_ms)
		VALUES ($1, $2, $3, $4, $5, $6, $7, 0, 0) ON CONFLICT (prefix) DO NOTHING`,
		k.Prefix, k.Account, k.Sum, k.Scopes, k.Label, k.CreatedMs, k.EndsMs)
	if err != nil {
		return err
	}
	if n, err := done.RowsAffected(); err != nil || n == 0 {
		return errors.Join(err, ErrConflict)
	}
	return nil
}
