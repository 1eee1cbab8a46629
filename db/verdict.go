package db

import (
	"context"
	"fmt"
	"slices"
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
		seq, err := t.log(ctx, KindReport, report, put, 1) // what is believed has changed
		if err != nil {
			return err
		}
		return t.pourAgain(ctx, report, seq)
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

// Decided says of some reports which were decided about, by a moderator or
// because another one was told instead.
func (d *DB) Decided(ctx context.Context, ids []string) (map[string]bool, error) {
	out := map[string]bool{}
	for part := range slices.Chunk(ids, idsAtOnce) {
		w := &where{}
		there, err := strings1(ctx, d.reader, `SELECT report FROM verdict WHERE report IN (`+placesOf(w, part)+`)`, w.args...)
		if err != nil {
			return nil, fmt.Errorf("verdicts: %w", err)
		}
		for _, id := range there {
			out[id] = true
		}
	}
	return out, nil
}

// LeftOut are the reports a moderator left out.
func (d *DB) LeftOut(ctx context.Context) (map[string]bool, error) {
	ids, err := strings1(ctx, d.reader, `SELECT report FROM verdict WHERE verdict = 'leave_out'`)
	if err != nil {
		return nil, fmt.Errorf("verdicts: %w", err)
	}
	out := make(map[string]bool, len(ids))
	for _, id := range ids {
		out[id] = true
	}
	return out, nil
}
