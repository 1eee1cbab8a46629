package db

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"slices"

	"hardtack/pricing"
	"hardtack/pricing/calendar"
	"hardtack/pricing/measure"
	"hardtack/pricing/money"
)

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
