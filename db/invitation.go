package db

import (
	"context"
	"errors"
	"fmt"
)

// Invitation lets one account be made.
type Invitation struct {
	Sum, Role, Issuer string
	CreatedMs, EndsMs int64
	UsedBy            string
}

func (t writeTx) useInvitation(ctx context.Context, sum string, a Account, nowMs int64) error {
	if sum == "" {
		return nil
	}
	done, err := t.ExecContext(ctx, `
		UPDATE invitation SET used_by = $1 WHERE sum = $2 AND used_by = '' AND ends_ms > $3 AND role = $4`, a.ID, sum, nowMs, a.Role)
	if err != nil {
		return err
	}
	if n, err := done.RowsAffected(); err != nil || n == 0 {
		return errors.Join(err, fmt.Errorf("invitation: %w; nothing was changed", ErrNotFound))
	}
	return nil
}

// AddInvitation adds an invitation.
func (d *DB) AddInvitation(ctx context.Context, i Invitation) error {
	err := d.write(ctx, func(t writeTx) error {
		_, err := t.ExecContext(ctx, `
			INSERT INTO invitation (sum, role, issuer, created_ms, ends_ms, used_by) VALUES ($1, $2, $3, $4, $5, '')`,
			i.Sum, i.Role, i.Issuer, i.CreatedMs, i.EndsMs)
		if err != nil {
			return err
		}
		return t.audit(ctx, i.Issuer, "invite", i.Role)
	})
	if err != nil {
		return fmt.Errorf("add invitation: %w", err)
	}
	return nil
}
