package db

import (
	"context"
	"fmt"

	"hardtack/pricing"
	"hardtack/pricing/calendar"
	"hardtack/pricing/measure"
	"hardtack/pricing/money"
)

// Publication is a report that is told to everybody: under an id of its own, as
// of a day that is not its own.
type Publication struct {
	Report string // which one it is: never told
	Day    calendar.Day
	Paid   money.Amount
	Pack   measure.Quantity
	// Instead are reports that are never told, since this one is.
	Instead []string
}

// Untold is a report that was not told yet, with the account it is of, empty
// where none is known, and when it came in.
type Untold struct {
	pricing.Report
	Account    string
	ReceivedMs int64
}

// EachUntold hands every report to f that stands and was not told yet; it stops
// at f's error. Those a moderator left out, and those another one was told
// instead of, are not among them.
func (d *DB) EachUntold(ctx context.Context, each func(Untold) error) error {
	rows, err := d.reader.QueryContext(ctx, `
		SELECT report.id, report.port, report.item, report.day, report.found, report.replaces, report.reporter,
			report.paid_minor, report.currency, report.pack, COALESCE(author.account, ''), report.received_ms
		FROM report LEFT JOIN author ON author.reporter = report.reporter
		LEFT JOIN verdict ON verdict.report = report.id
		WHERE COALESCE(verdict.verdict, '') NOT IN ('leave_out', 'passed_over') AND report.found <> ''
			AND NOT EXISTS (SELECT 1 FROM published WHERE published.report = report.id)
			AND NOT EXISTS (SELECT 1 FROM report later WHERE later.replaces = report.id AND later.reporter = report.reporter)`)
	if err != nil {
		return fmt.Errorf("reports not told yet: %w", err)
	}
	defer rows.Close()
	for rows.Next() {
		var u Untold
		var day, currency string
		err := rows.Scan(&u.ID, &u.Port, &u.Item, &day, &u.Found, &u.Replaces, &u.Reporter, &u.Paid.Minor, &currency, &u.Pack, &u.Account, &u.ReceivedMs)
		if err != nil {
			return fmt.Errorf("reports not told yet: %w", err)
		}
		u.Paid.Currency = money.Currency(currency)
		if u.Day, err = calendar.Parse(day); err != nil {
			return err
		}
		if err := each(u); err != nil {
			return err
		}
	}
	return rows.Err()
}

// Publish tells reports to everybody, and takes back what was told of reports
// that were replaced or left out since. idOf is the id told for a number. It
// gives how many were told and taken back.
func (d *DB) Publish(ctx context.Context, ps []Publication, idOf func(number int64) string) (told, back int, err error) {
	err = d.write(ctx, func(t writeTx) error {
		told, back = 0, 0
		gone, err := t.toTakeBack(ctx)
		if err != nil || len(ps)+len(gone) == 0 {
			return err
		}
		seq, err := t.log(ctx, KindReport, "", put, len(ps)+len(gone))
		if err != nil {
			return err
		}
		var number int64
		if err := t.QueryRowContext(ctx, `SELECT COALESCE(MAX(number), 0) FROM published`).Scan(&number); err != nil {
			return err
		}
		rows := make([]row, 0, len(ps)+len(gone))
		for _, p := range ps {
			number++
			rows = append(rows, row{idOf(number), seq, number, p.Report, p.Day.String(), p.Paid.Minor, string(p.Paid.Currency), int64(p.Pack), ""})
		}
		for _, g := range gone {
			number++
			rows = append(rows, row{idOf(number), seq, number, "taken back " + g.of, g.day, int64(0), "", int64(0), g.of})
		}
		told, back = len(ps), len(gone)
		if err := t.bulk(ctx, publishedTable, rows); err != nil {
			return err
		}
		for _, p := range ps {
			for _, id := range p.Instead {
				if err := t.judge(ctx, "", id, passedOver); err != nil {
					return err
				}
			}
		}
		return nil
	})
	if err != nil {
		return 0, 0, fmt.Errorf("publish: %w", err)
	}
	return told, back, nil
}

type takenBack struct{ of, day string }

// toTakeBack are those told whose report does not stand any more.
func (t writeTx) toTakeBack(ctx context.Context) ([]takenBack, error) {
	rows, err := t.QueryContext(ctx, `
		SELECT id, day FROM published
		WHERE report IN (
			SELECT report.id FROM report later JOIN report_key k ON k.id = later.replaces
			JOIN report ON report.id = k.id AND report.port = k.port AND report.received_ms = k.received_ms
			WHERE later.replaces <> '' AND later.reporter = report.reporter
			UNION SELECT report FROM verdict WHERE verdict = 'leave_out')
		AND NOT EXISTS (SELECT 1 FROM published back WHERE back.replaces = published.id)
		ORDER BY id`)
	if err != nil {
		return nil, err
	}
	defer rows.Close()
	var out []takenBack
	for rows.Next() {
		var g takenBack
		if err := rows.Scan(&g.of, &g.day); err != nil {
			return nil, err
		}
		out = append(out, g)
	}
	return out, rows.Err()
}
