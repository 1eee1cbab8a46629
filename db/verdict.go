package db

import (
	"context"
	"fmt"
)

// What a moderator may decide about a report.
const (
	Keep     = "keep"
	LeaveOut = "leave_out"
)

// passedOver marks a report that is not told because another one of its account
// was: nobody is heard twice.
const passedOver = "passed_over"

// Judge keeps a moderator's verdict about a report, in the place of an earlier
// one. ErrNotFound when there is no such report.
func (d *DB) Judge(ctx context.Context, by, report, verdict string) error {
	err := d.write(ctx, func(t writeTx) error {
		there, err := reportsByID(ctx, t.Tx, []string{report})
		if err != nil {
			return err
		}
		if len(there) == 0 {
			return ErrNotFound
		}
		if err := t.judge(ctx, by, report, verdict); err != nil {
			return err
		}
		if err := t.audit(ctx, by, "judge "+verdict, report); err != nil {
			return err
		}
		_, err = t.log(ctx, KindReport, report, put, 1) // what is believed has changed
		return err
	})
	if err != nil {
		return fmt.Errorf("judge report %q: %w", report, err)
	}
	return nil
}

func (t writeTx) judge(ctx context.Context, by, report, verdict string) error {
	_, err := t.ExecContext(ctx, `
		INSERT INTO verdict (report, verdict, account, at_ms) VALUES ($1, $2, $3, $4)
		ON CONFLICT (report) DO UPDATE SET verdict = excluded.verdict, account = excluded.account, at_ms = excluded.at_ms`,
		report, verdict, by, t.db.Now().UnixMilli())
	return err
}

// Verdicts are all verdicts, by report.
func (d *DB) Verdicts(ctx context.Context) (map[string]string, error) {
	rows, err := d.reader.QueryContext(ctx, `SELECT report, verdict FROM verdict`)
	if err != nil {
		return nil, fmt.Errorf("verdicts: %w", err)
	}
	defer rows.Close()
	out := map[string]string{}
	for rows.Next() {
		var report, verdict string
		if err := rows.Scan(&report, &verdict); err != nil {
			return nil, fmt.Errorf("verdicts: %w", err)
		}
		out[report] = verdict
	}
	return out, rows.Err()
}
