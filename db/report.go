package db

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"slices"
	"strings"

	"hardtack/pricing"
	"hardtack/pricing/calendar"
	"hardtack/pricing/measure"
	"hardtack/pricing/money"
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

func idsOf(rs []pricing.Report) []string {
	ids := make([]string, len(rs))
	for i, r := range rs {
		ids[i] = r.ID
	}
	return ids
}

const reportColumns = `id, port, item, day, found, paid_minor, currency, pack, shop,
	reporter, source, quality, origin, note, replaces`

type querier interface {
	QueryContext(context.Context, string, ...any) (*sql.Rows, error)
}

// idsAtOnce keeps a statement's parameters few enough for both databases.
const idsAtOnce = 500

func reportsByID(ctx context.Context, q querier, ids []string) (map[string]pricing.Report, error) {
	out := map[string]pricing.Report{}
	for part := range slices.Chunk(ids, idsAtOnce) {
		args := make([]any, len(part))
		for i, id := range part {
			args[i] = id
		}
		text := `SELECT ` + reportColumns + ` FROM (SELECT report.* FROM report_key JOIN report
			ON report.id = report_key.id AND report.port = report_key.port AND report.received_ms = report_key.received_ms
			WHERE report_key.id IN (` + places(1, len(part)) + `)) found_by_id`
		err := eachReport(ctx, q, func(r pricing.Report) error { out[r.ID] = r; return nil }, text, args...)
		if err != nil {
			return nil, err
		}
	}
	return out, nil
}

func eachReport(ctx context.Context, q querier, f func(pricing.Report) error, text string, args ...any) error {
	rows, err := q.QueryContext(ctx, text, args...)
	if err != nil {
		return err
	}
	defer rows.Close()
	for rows.Next() {
		r, err := scanReport(rows)
		if err != nil {
			return err
		}
		if err := f(r); err != nil {
			return err
		}
	}
	return rows.Err()
}

func scanReport(rows *sql.Rows) (pricing.Report, error) {
	var r pricing.Report
	var day, currency string
	var pack int64
	err := rows.Scan(&r.ID, &r.Port, &r.Item, &day, &r.Found, &r.Paid.Minor, &currency, &pack, &r.Shop,
		&r.Reporter, &r.Source, &r.Quality, &r.Origin, &r.Note, &r.Replaces)
	if err != nil {
		return r, err
	}
	r.Paid.Currency, r.Pack = money.Currency(currency), measure.Quantity(pack)
	r.Day, err = calendar.Parse(day)
	return r, err
}

// Report gives one report, ErrNotFound when there is none.
func (d *DB) Report(ctx context.Context, id string) (pricing.Report, error) {
	found, err := reportsByID(ctx, d.reader, []string{id})
	if r, ok := found[id]; ok {
		return r, nil
	}
	return pricing.Report{}, fmt.Errorf("report %q: %w", id, errors.Join(err, notFoundUnless(err)))
}

func notFoundUnless(err error) error {
	if err != nil {
		return nil
	}
	return ErrNotFound
}

// ReportsByID gives those of the ids that are there.
func (d *DB) ReportsByID(ctx context.Context, ids []string) (map[string]pricing.Report, error) {
	found, err := reportsByID(ctx, d.reader, ids)
	if err != nil {
		return nil, fmt.Errorf("read reports: %w", err)
	}
	return found, nil
}
