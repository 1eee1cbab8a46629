package db

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
)

// Account is somebody who may use a shared server.
type Account struct {
	ID, Name  string // the name is folded
	Role      string
	Password  string // hashed; empty: none
	State     string
	CreatedMs int64
}

// States of an account.
const (
	Active    = "active"
	Suspended = "suspended"
	Erased    = "erased"
)

// KindAccount is an account, with its keys, in the change log.
const KindAccount Kind = "account"

// Key is a key of an account as it is kept: not itself, but its sum.
type Key struct {
	Prefix, Account, Sum, Scopes, Label string
	CreatedMs, EndsMs, RevokedMs        int64 // 0: never
	UsedMs                              int64 // when it was last used, to the minute, of a login; 0: not noted
}

// AddAccount adds an account, using up an invitation unless its sum is empty.
// Errors: ErrConflict when the name is taken, ErrNotFound when there is no such
// invitation that is not used and not ended.
func (d *DB) AddAccount(ctx context.Context, a Account, invitation string, nowMs int64) error {
	if err := checkText(a.ID, a.Name, a.Role, a.Password); err != nil {
		return fmt.Errorf("add account: %w", err)
	}
	err := d.write(ctx, func(t writeTx) error {
		if err := t.useInvitation(ctx, invitation, a, nowMs); err != nil {
			return err
		}
		if _, err := accountWhere(ctx, t.QueryRowContext, "name", a.Name); !errors.Is(err, ErrNotFound) {
			return errors.Join(err, fmt.Errorf("the name is taken: %w; nothing was changed", ErrConflict))
		}
		_, err := t.ExecContext(ctx, `
			INSERT INTO account (id, name, role, password, state, created_ms) VALUES ($1, $2, $3, $4, $5, $6)`,
			a.ID, a.Name, a.Role, a.Password, a.State, a.CreatedMs)
		if err != nil {
			return err
		}
		return t.audit(ctx, "", "add account", a.ID)
	})
	if err != nil {
		return fmt.Errorf("add account: %w", err)
	}
	return nil
}

func accountWhere(ctx context.Context, q queryRow, column, value string) (Account, error) {
	var a Account
	err := q(ctx, `SELECT id, name, role, password, state, created_ms FROM account WHERE `+column+` = $1`, value).
		Scan(&a.ID, &a.Name, &a.Role, &a.Password, &a.State, &a.CreatedMs)
	if errors.Is(err, sql.ErrNoRows) {
		err = ErrNotFound
	}
	return a, err
}

// Account gives an account by id, ErrNotFound when there is none.
func (d *DB) Account(ctx context.Context, id string) (Account, error) {
	return d.account(ctx, "id", id)
}

// AccountNamed gives an account by its folded name.
func (d *DB) AccountNamed(ctx context.Context, name string) (Account, error) {
	return d.account(ctx, "name", name)
}

func (d *DB) account(ctx context.Context, column, value string) (a Account, err error) {
	err = d.ask(ctx, func(q asker) error {
		a, err = accountWhere(ctx, q.QueryRowContext, column, value)
		return err
	})
	if err != nil {
		return Account{}, fmt.Errorf("account: %w", err)
	}
	return a, nil
}

// Accounts are all accounts by name.
func (d *DB) Accounts(ctx context.Context) (out []Account, err error) {
	err = d.snapshot(ctx, func(tx *sql.Tx) error {
		rows, err := tx.QueryContext(ctx, `SELECT id, name, role, password, state, created_ms FROM account ORDER BY name`)
		if err != nil {
			return err
		}
		defer rows.Close()
		for rows.Next() {
			var a Account
			if err := rows.Scan(&a.ID, &a.Name, &a.Role, &a.Password, &a.State, &a.CreatedMs); err != nil {
				return err
			}
			out = append(out, a)
		}
		return rows.Err()
	})
	if err != nil {
		return nil, fmt.Errorf("accounts: %w", err)
	}
	return out, nil
}

// SetAccount changes an account's state and password, by somebody (audited),
// and revokes its keys when it is not active any more.
func (d *DB) SetAccount(ctx context.Context, by string, a Account, what string) error {
	err := d.write(ctx, func(t writeTx) error {
		done, err := t.ExecContext(ctx, `UPDATE account SET state = $1, password = $2 WHERE id = $3`, a.State, a.Password, a.ID)
		if err != nil {
			return err
		}
		if n, err := done.RowsAffected(); err != nil || n == 0 {
			return errors.Join(err, ErrNotFound)
		}
		if a.State != Active {
			if err := t.revokeAll(ctx, a.ID); err != nil {
				return err
			}
		}
		return t.audit(ctx, by, what, a.ID)
	})
	if err != nil {
		return fmt.Errorf("account: %w", err)
	}
	return nil
}

// SetPassword keeps another password of an account, by somebody (audited), and
// ends its logins, the keys of a label. ErrStale when the one there is not the
// one expected any more.
func (d *DB) SetPassword(ctx context.Context, by, id, was, password, label, what string) error {
	err := d.write(ctx, func(t writeTx) error {
		done, err := t.ExecContext(ctx, `UPDATE account SET password = $1 WHERE id = $2 AND password = $3 AND state = $4`, password, id, was, Active)
		if err != nil {
			return err
		}
		if n, err := done.RowsAffected(); err != nil || n == 0 {
			return errors.Join(err, ErrStale)
		}
		if err := t.endLogins(ctx, id, label); err != nil {
			return err
		}
		return t.audit(ctx, by, what, id)
	})
	if err != nil {
		return fmt.Errorf("set password: %w", err)
	}
	return nil
}

func (t writeTx) revokeAll(ctx context.Context, account string) error {
	_, err := t.ExecContext(ctx, `UPDATE access_key SET revoked_ms = $1 WHERE account = $2 AND revoked_ms = 0`,
		t.db.Now().UnixMilli(), account)
	return err
}

// EraseAccount takes away all that says whose an account's reports are: name,
// password, keys, the reporter's ids and what they wrote in words. The prices
// stay, as somebody's.
func (d *DB) EraseAccount(ctx context.Context, by, id, unnamed string) error {
	err := d.write(ctx, func(t writeTx) error {
		if _, err := accountWhere(ctx, t.QueryRowContext, "id", id); err != nil {
			return err
		}
		reporters, err := strings1(ctx, t.Tx, `SELECT reporter FROM author WHERE account = $1 ORDER BY reporter`, id)
		if err != nil {
			return err
		}
		for _, r := range reporters { // plain enough for reports that lie on other machines
			if _, err := t.ExecContext(ctx, `UPDATE report SET reporter = $1, note = '', shop = '' WHERE reporter = $2`, unnamed, r); err != nil {
				return err
			}
		}
		for _, s := range []struct {
			text string
			args []any
		}{
			{`UPDATE record SET carrier = '' WHERE carrier = $1`, []any{id}},
			{`DELETE FROM author WHERE account = $1`, []any{id}},
			{`DELETE FROM access_key WHERE account = $1`, []any{id}},
			{`DELETE FROM second_factor WHERE account = $1`, []any{id}},
			{`DELETE FROM recovery_code WHERE account = $1`, []any{id}},
			{`UPDATE account SET name = $1, password = '', state = $2 WHERE id = $3`, []any{unnamed, Erased, id}},
		} {
			if _, err := t.ExecContext(ctx, s.text, s.args...); err != nil {
				return err
			}
		}
		if err := t.forgetSums(ctx); err != nil { // they knew their reporter
			return err
		}
		return t.audit(ctx, by, "erase account", id)
	})
	if err != nil {
		return fmt.Errorf("erase account: %w", err)
	}
	d.backed.Store(0) // of one reporter now: one may replace another
	return nil
}
