package db

import (
	"context"
	"fmt"
)

// Audited is who did what.
type Audited struct {
	Seq     int64  `json:"seq"`
	AtMs    int64  `json:"at_ms"`
	Account string `json:"account"` // empty: by command on the server
	What    string `json:"what"`
	Ref     string `json:"ref"`
}

// audit writes who did what, in the same transaction.
func (t writeTx) audit(ctx context.Context, by, what, ref string) error {
	seq, err := t.log(ctx, KindAccount, ref, what, 1)
	if err != nil {
		return err
	}
	_, err = t.ExecContext(ctx, `INSERT INTO audit (seq, at_ms, account, what, ref) VALUES ($1, $2, $3, $4, $5)`,
		seq, t.db.Now().UnixMilli(), by, what, ref)
	return err
}

// Audit gives what was done after a number, up to limit.
func (d *DB) Audit(ctx context.Context, after int64, limit int) ([]Audited, error) {
	rows, err := d.reader.QueryContext(ctx, `
		SELECT seq, at_ms, account, what, ref FROM audit WHERE seq > $1 ORDER BY seq LIMIT $2`, after, limit)
	if err != nil {
		return nil, fmt.Errorf("audit: %w", err)
	}
	defer rows.Close()
	var out []Audited
	for rows.Next() {
		var a Audited
		if err := rows.Scan(&a.Seq, &a.AtMs, &a.Account, &a.What, &a.Ref); err != nil {
			return nil, fmt.Errorf("audit: %w", err)
		}
		out = append(out, a)
	}
	return out, rows.Err()
}
