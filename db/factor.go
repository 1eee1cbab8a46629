package db

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
)

// Factor is an account's second factor as it is kept.
type Factor struct {
	Account, Secret string
	SinceMs         int64 // since when it is asked for; 0: it is offered only
	Step            int64 // of the last code that was used
}

// Factor gives an account's second factor, ErrNotFound when it has none.
func (d *DB) Factor(ctx context.Context, account string) (f Factor, err error) {
	err = d.snapshot(ctx, func(tx *sql.Tx) error {
		row := tx.QueryRowContext(ctx, `SELECT account, secret, since_ms, step FROM second_factor WHERE account = $1`, account)
		err := row.Scan(&f.Account, &f.Secret, &f.SinceMs, &f.Step)
		if errors.Is(err, sql.ErrNoRows) {
			err = ErrNotFound
		}
		return err
	})
	if err != nil {
		return Factor{}, fmt.Errorf("second factor: %w", err)
	}
	return f, nil
}

// OfferFactor keeps a secret that is not asked for yet, in the place of one
// offered before. ErrConflict when one is in force.
func (d *DB) OfferFactor(ctx context.Context, by, account, secret string) error {
	return d.factor(ctx, by, account, "offer second factor", func(t writeTx) (sql.Result, error) {
		return t.ExecContext(ctx, `
			INSERT INTO second_factor (account, secret, since_ms, step) VALUES ($1, $2, 0, 0)
			ON CONFLICT (account) DO UPDATE SET secret = excluded.secret, step = 0 WHERE second_factor.since_ms = 0`, account, secret)
	}, ErrConflict)
}

// ConfirmFactor puts the secret offered in force, with sums of recovery codes,
// and ends the account's logins, the keys of a label. ErrStale when that secret
// is not offered any more.
func (d *DB) ConfirmFactor(ctx context.Context, by string, f Factor, sums []string, label string) error {
	return d.factor(ctx, by, f.Account, "second factor in force", func(t writeTx) (sql.Result, error) {
		done, err := t.ExecContext(ctx, `UPDATE second_factor SET since_ms = $1, step = $2 WHERE account = $3 AND secret = $4 AND since_ms = 0`,
			f.SinceMs, f.Step, f.Account, f.Secret)
		if err != nil {
			return nil, err
		}
		for _, sum := range sums {
			if _, err := t.ExecContext(ctx, `INSERT INTO recovery_code (account, sum) VALUES ($1, $2)`, f.Account, sum); err != nil {
				return nil, err
			}
		}
		return done, t.endLogins(ctx, f.Account, label)
	}, ErrStale)
}

// RemoveFactor takes a second factor away with its recovery codes and ends the
// account's logins. ErrNotFound when there is none.
func (d *DB) RemoveFactor(ctx context.Context, by, account, label string) error {
	return d.factor(ctx, by, account, "remove second factor", func(t writeTx) (sql.Result, error) {
		if _, err := t.ExecContext(ctx, `DELETE FROM recovery_code WHERE account = $1`, account); err != nil {
			return nil, err
		}
		if err := t.endLogins(ctx, account, label); err != nil {
			return nil, err
		}
		return t.ExecContext(ctx, `DELETE FROM second_factor WHERE account = $1`, account)
	}, ErrNotFound)
}

// UseStep notes that the code of a time step was used. ErrStale when that one,
// or a later one, was used before.
func (d *DB) UseStep(ctx context.Context, account string, step int64) error {
	return d.factor(ctx, account, account, "", func(t writeTx) (sql.Result, error) {
		return t.ExecContext(ctx, `UPDATE second_factor SET step = $1 WHERE account = $2 AND since_ms > 0 AND step < $1`, step, account)
	}, ErrStale)
}

// UseRecoveryCode uses up a recovery code by its sum. ErrNotFound when there is
// none such any more.
func (d *DB) UseRecoveryCode(ctx context.Context, account, sum string) error {
	return d.factor(ctx, account, account, "use recovery code", func(t writeTx) (sql.Result, error) {
		return t.ExecContext(ctx, `DELETE FROM recovery_code WHERE account = $1 AND sum = $2`, account, sum)
	}, ErrNotFound)
}

// factor changes one row or is an error; what is not empty is audited.
func (d *DB) factor(ctx context.Context, by, account, what string, change func(writeTx) (sql.Result, error), none error) error {
	if err := checkText(account); err != nil {
		return fmt.Errorf("second factor: %w", err)
	}
	err := d.write(ctx, func(t writeTx) error {
		done, err := change(t)
		if err != nil {
			return err
		}
		if n, err := done.RowsAffected(); err != nil || n == 0 {
			return errors.Join(err, none)
		}
		if what == "" {
			return nil
		}
		return t.audit(ctx, by, what, account)
	})
	if err != nil {
		return fmt.Errorf("second factor: %w", err)
	}
	return nil
}

func (t writeTx) endLogins(ctx context.Context, account, label string) error {
	_, err := t.ExecContext(ctx, `UPDATE access_key SET revoked_ms = $1 WHERE account = $2 AND label = $3 AND revoked_ms = 0`,
		t.db.Now().UnixMilli(), account, label)
	return err
}
