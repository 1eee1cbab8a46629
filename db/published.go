package db

import (
	"context"
	"database/sql"
	"errors"
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

// LastPublished is the number of the last change to what is told to everybody;
// 0 before the first.
func (d *DB) LastPublished(ctx context.Context) (int64, error) {
	var seq int64
	if err := d.reader.QueryRowContext(ctx, `SELECT COALESCE(MAX(seq), 0) FROM published`).Scan(&seq); err != nil {
		return 0, fmt.Errorf("what is told: %w", err)
	}
	return seq, nil
}

// EachTakenBack hands every report to f that was taken back with a later change
// than one, and was told before it; it stops at f's error.
func (d *DB) EachTakenBack(ctx context.Context, after int64, f func(pricing.Report) error) error {
	err := eachReport(ctx, d.reader, f, `SELECT `+reportColumns+` FROM report WHERE id IN (
		SELECT told.report FROM published back JOIN published told ON told.id = back.replaces
		WHERE back.replaces <> '' AND back.seq > $1 AND told.seq <= $2)`, after, after)
	if err != nil {
		return fmt.Errorf("what was taken back: %w", err)
	}
	return nil
}

// Published is what is told to everybody, as records of the database that
// tells it. Form gives a report the form in which it is told.
type Published struct {
	DB     *DB
	Far    *DB // where the records are read, some moments old; nil: DB
	Source string
	Form   func(r pricing.Report, id string, day calendar.Day, replaces string) pricing.Report
}

func (p Published) from() *DB {
	if p.Far != nil {
		return p.Far
	}
	return p.DB
}

// Records is as DB.Records; Feed.NotFrom leaves out an account's own.
func (p Published) Records(ctx context.Context, f Feed, after Mark, limit int) ([]Fed, error) {
	w := &where{}
	text := `
		SELECT published.id, published.day, published.replaces, published.number, published.seq,
			r.port, r.item, CASE WHEN published.replaces = '' THEN r.found ELSE '' END, published.paid_minor, published.currency, published.pack
		FROM published
		LEFT JOIN published first ON first.id = published.replaces
		JOIN report_key k ON k.id = COALESCE(first.report, published.report)
		JOIN report r ON r.id = k.id AND r.port = k.port AND r.received_ms = k.received_ms
		WHERE (published.seq > ` + w.place(after.Seq) + ` OR published.seq = ` + w.place(after.Seq) + ` AND published.id > ` + w.place(after.ID) + `)`
	if f.NotFrom != "" {
		text += ` AND NOT EXISTS (SELECT 1 FROM author WHERE author.reporter = r.reporter AND author.account = ` + w.place(f.NotFrom) + `)`
	}
	text += f.cells(w, "r.") + ` ORDER BY published.seq, published.id LIMIT ` + w.place(limit)
	rows, err := p.from().reader.QueryContext(ctx, text, w.args...)
	if err != nil {
		return nil, fmt.Errorf("what is told: %w", err)
	}
	defer rows.Close()
	var out []Fed
	for rows.Next() {
		fed, err := p.scan(rows)
		if err != nil {
			return nil, fmt.Errorf("what is told: %w", err)
		}
		out = append(out, fed)
	}
	return out, rows.Err()
}

func (p Published) scan(rows *sql.Rows) (Fed, error) {
	var r pricing.Report
	var id, day, replaces, currency string
	f := Fed{Record: Record{Source: p.Source}}
	err := rows.Scan(&id, &day, &replaces, &f.Number, &f.Mark.Seq, &r.Port, &r.Item, &r.Found, &r.Paid.Minor, &currency, &r.Pack)
	if err != nil {
		return f, err
	}
	r.Paid.Currency = money.Currency(currency)
	told, err := calendar.Parse(day)
	f.Report = p.Form(r, id, told, replaces)
	if replaces != "" {
		f.Reporter = replaces // a report is taken back by the one it is of
	}
	f.Mark.ID = id
	return f, err
}

// End is as DB.End.
func (p Published) End(ctx context.Context) (Mark, error) {
	var m Mark
	err := p.from().reader.QueryRowContext(ctx, `SELECT seq, id FROM published ORDER BY seq DESC, id DESC LIMIT 1`).Scan(&m.Seq, &m.ID)
	if errors.Is(err, sql.ErrNoRows) {
		return Mark{}, nil
	}
	if err != nil {
		return Mark{}, fmt.Errorf("end of what is told: %w", err)
	}
	return m, nil
}

// HasMark is as DB.HasMark.
func (p Published) HasMark(ctx context.Context, m Mark) (bool, error) {
	if m == (Mark{}) {
		return true, nil
	}
	var n int
	err := p.DB.reader.QueryRowContext(ctx, `SELECT COUNT(*) FROM published WHERE id = $1 AND seq = $2`, m.ID, m.Seq).Scan(&n)
	if err != nil {
		return false, fmt.Errorf("mark: %w", err)
	}
	return n == 1, nil
}
