package db

import (
	"context"
	"database/sql"
	"errors"
	"fmt"

	"hardtack/pricing"
	"hardtack/pricing/calendar"
	"hardtack/pricing/money"
)

// LastPublished is the number of the last change to what is told to everybody or
// to any of the kinds; 0 before the first.
func (d *DB) LastPublished(ctx context.Context, kinds ...Kind) (int64, error) {
	w := &where{}
	var seq int64
	err := d.reader.QueryRowContext(ctx, `SELECT COALESCE(MAX(seq), 0) FROM (SELECT MAX(seq) AS seq FROM published
		UNION ALL SELECT MAX(seq) FROM change WHERE kind IN (`+placesOf(w, append([]Kind{""}, kinds...))+`)) last`, w.args...).Scan(&seq)
	if err != nil {
		return 0, fmt.Errorf("what is told: %w", err)
	}
	return seq, nil
}

// EachTakenBack hands every report to f that was taken back with a later change
// than one, up to another, and was told by then; it stops at f's error.
func (d *DB) EachTakenBack(ctx context.Context, after, until int64, f func(pricing.Report) error) error {
	err := eachReport(ctx, d.reader, f, `SELECT `+reportColumns+` FROM report WHERE id IN (
		SELECT told.report FROM published back JOIN published told ON told.id = back.replaces
		WHERE back.replaces <> '' AND back.seq > $1 AND back.seq <= $2 AND told.seq <= $3)`, after, until, after)
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
		WHERE (published.seq, published.id) > (` + w.place(after.Seq) + `, ` + w.place(after.ID) + `)`
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
