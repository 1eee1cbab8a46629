package db

import (
	"context"
	"fmt"
	"strings"

	"hardtack/pricing"
)

// Added counts what AddReports did.
type Added struct {
	New  int
	Same int // already there with the same content
}

// ConflictError names the ids that are there with other content. It is an
// ErrConflict.
type ConflictError struct {
	What string
	IDs  []string
}

// Error names the first few.
func (e *ConflictError) Error() string {
	ids, more := e.IDs, ""
	if len(ids) > 5 {
		ids, more = ids[:5], fmt.Sprintf(" and %d more", len(e.IDs)-5)
	}
	return fmt.Sprintf("%s %s%s: %v; nothing was changed", e.What, strings.Join(ids, ", "), more, ErrConflict)
}

// Unwrap makes errors.Is(err, ErrConflict) hold.
func (e *ConflictError) Unwrap() error { return ErrConflict }

// With is a document that comes with reports.
type With struct {
	Kind Kind
	ID   string
	Body []byte
}

// AddReports adds facts, all or none, in one transaction and one change. A
// report that is already there with the same content counts as the same and
// changes nothing; with other content the error is a *ConflictError. Documents
// of a kind may come with them: they are kept if a report was new, in the same
// transaction.
func (d *DB) AddReports(ctx context.Context, rs []pricing.Report, with ...With) (Added, error) {
	for _, r := range rs {
		if err := checkReport(r); err != nil {
			return Added{}, fmt.Errorf("add report %q: %w", r.ID, err)
		}
	}
	rs, err := distinct(rs)
	if err != nil {
		return Added{}, fmt.Errorf("add reports: %w", err)
	}
	var done Added
	err = d.write(ctx, func(t writeTx) error {
		fresh, err := t.notYetThere(ctx, rs)
		if err != nil {
			return err
		}
		done = Added{New: len(fresh), Same: len(rs) - len(fresh)}
		if err := t.insertReports(ctx, fresh); err != nil || len(fresh) == 0 {
			return err
		}
		for _, w := range with {
			if _, err := t.put(ctx, w.Kind, w.ID, w.Body); err != nil {
				return err
			}
		}
		return nil
	})
	if err != nil {
		return Added{}, fmt.Errorf("add reports: %w", err)
	}
	return done, nil
}

func checkReport(r pricing.Report) error {
	if r.ID == "" || r.Day.IsZero() {
		return fmt.Errorf("%w: a report needs an id and a day; nothing was changed", ErrInvalid)
	}
	return checkText(r.ID, string(r.Port), string(r.Item), string(r.Found), string(r.Paid.Currency),
		r.Shop, r.Reporter, string(r.Source), r.Origin, r.Note, r.Replaces)
}

// distinct drops doubles; two that differ are a conflict.
func distinct(rs []pricing.Report) ([]pricing.Report, error) {
	seen := make(map[string]pricing.Report, len(rs))
	out := make([]pricing.Report, 0, len(rs))
	var clash []string
	for _, r := range rs {
		old, again := seen[r.ID]
		switch {
		case !again:
			seen[r.ID] = r
			out = append(out, r)
		case old != r:
			clash = append(clash, r.ID)
		}
	}
	if len(clash) > 0 {
		return nil, &ConflictError{"report", clash}
	}
	return out, nil
}

func (t writeTx) notYetThere(ctx context.Context, rs []pricing.Report) ([]pricing.Report, error) {
	there, err := reportsByID(ctx, t.Tx, idsOf(rs))
	if err != nil {
		return nil, err
	}
	var clash []string
	var fresh []pricing.Report
	for _, r := range rs {
		old, ok := there[r.ID]
		switch {
		case !ok:
			fresh = append(fresh, r)
		case old != r:
			clash = append(clash, r.ID)
		}
	}
	if len(clash) > 0 {
		return nil, &ConflictError{"report", clash}
	}
	return fresh, nil
}

func (t writeTx) insertReports(ctx context.Context, rs []pricing.Report) error {
	if len(rs) == 0 {
		return nil
	}
	ref := ""
	if len(rs) == 1 {
		ref = rs[0].ID
	}
	received := t.db.Now().UnixMilli()
	seq, err := t.logAt(ctx, received, KindReport, ref, added, len(rs))
	if err != nil {
		return err
	}
	rows := make([]row, len(rs))
	for i, r := range rs {
		rows[i] = row{
			r.ID, string(r.Port), string(r.Item), r.Day.String(), string(r.Found), r.Paid.Minor,
			string(r.Paid.Currency), int64(r.Pack), r.Shop, r.Reporter, string(r.Source), int64(r.Quality),
			r.Origin, r.Note, r.Replaces, seq, received,
		}
	}
	if err := t.bulk(ctx, reportTable, rows); err != nil {
		return err
	}
	return t.pour(ctx, rs, seq, received)
}
