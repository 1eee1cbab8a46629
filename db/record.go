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

// Record is a report on its way between databases: as its boat said it, with
// the database it was first kept in and its number there.
type Record struct {
	pricing.Report
	Source string
	Number int64 // from 1 without a gap
}

// Mark is a place in the order in which reports came in here: after the report
// ID of change Seq. The zero value is the beginning.
type Mark struct {
	Seq int64
	ID  string
}

// Feed says which records are wanted; the zero value is all of them.
type Feed struct {
	NotFrom string // none that this carrier brought
	Of      string // of this source only
	Ports   []pricing.PortID
	Items   []pricing.ItemID
}

// Fed is a record with its place in the order of arrival.
type Fed struct {
	Record
	Mark Mark
}

// Number numbers the reports that were entered here and have no number yet, in
// the order they came in, as records of a source.
func (d *DB) Number(ctx context.Context, source string) error {
	at, err := d.Change(ctx, KindReport)
	if err != nil {
		return err
	}
	var done int64
	err = d.reader.QueryRowContext(ctx, `SELECT COALESCE(MAX(seq), 0) FROM numbered`).Scan(&done)
	if err != nil {
		return fmt.Errorf("number reports: %w", err)
	}
	if done >= at {
		return nil
	}
	if err := d.write(ctx, func(t writeTx) error { return t.number(ctx, source) }); err != nil {
		return fmt.Errorf("number reports: %w", err)
	}
	return nil
}

func (t writeTx) number(ctx context.Context, source string) error {
	var done, at int64
	if err := t.QueryRowContext(ctx, `SELECT COALESCE(MAX(seq), 0) FROM numbered`).Scan(&done); err != nil {
		return err
	}
	if err := t.QueryRowContext(ctx, `SELECT COALESCE(MAX(seq), 0) FROM change WHERE kind = $1`, string(KindReport)).Scan(&at); err != nil {
		return err
	}
	h, err := headOf(ctx, t.QueryRowContext, source)
	if err != nil {
		return err
	}
	ids, err := strings1(ctx, t.Tx, `
		SELECT report.id FROM report LEFT JOIN record ON record.report = report.id
		WHERE report.seq > $1 AND record.report IS NULL ORDER BY report.seq, report.id`, done)
	if err != nil {
		return err
	}
	rows := make([]row, len(ids))
	for i, id := range ids {
		h = h.Next(id)
		rows[i] = row{source, h.Top, id, h.Chain, "", ""}
	}
	if len(rows) > 0 {
		if err := t.bulk(ctx, recordTable, rows); err != nil {
			return err
		}
		if err := t.setHead(ctx, h); err != nil {
			return err
		}
	}
	if _, err := t.ExecContext(ctx, `DELETE FROM numbered`); err != nil {
		return err
	}
	_, err = t.ExecContext(ctx, `INSERT INTO numbered (seq) VALUES ($1)`, at)
	return err
}

// strings1 are the values of a query of one column of text.
func strings1(ctx context.Context, q querier, text string, args ...any) ([]string, error) {
	rows, err := q.QueryContext(ctx, text, args...)
	if err != nil {
		return nil, err
	}
	defer rows.Close()
	var out []string
	for rows.Next() {
		var s string
		if err := rows.Scan(&s); err != nil {
			return nil, err
		}
		out = append(out, s)
	}
	return out, rows.Err()
}

// Records gives up to limit records that came in after a mark, in the order
// they came in. A report that is not numbered yet has no source.
func (d *DB) Records(ctx context.Context, f Feed, after Mark, limit int) ([]Fed, error) {
	w := &where{}
	text := `
		SELECT report.id, port, item, COALESCE(NULLIF(said, ''), day), found, paid_minor, currency, pack, shop, reporter,
			report.source, quality, origin, note, replaces, COALESCE(record.source, ''), COALESCE(number, 0), seq
		FROM report LEFT JOIN record ON record.report = report.id
		WHERE (seq, report.id) > (` + w.place(after.Seq) + `, ` + w.place(after.ID) + `)`
	if f.NotFrom != "" {
		text += ` AND COALESCE(carrier, '') <> ` + w.place(f.NotFrom)
	}
	if f.Of != "" {
		text += ` AND record.source = ` + w.place(f.Of)
	}
	text += f.cells(w, "") + ` ORDER BY seq, report.id LIMIT ` + w.place(limit)
	out, err := feed(ctx, d.reader, text, w.args)
	if err != nil {
		return nil, fmt.Errorf("records: %w", err)
	}
	return out, nil
}

// cells narrows to ports and items of a table.
func (f Feed) cells(w *where, of string) (text string) {
	if len(f.Ports) > 0 {
		text += ` AND ` + of + `port IN (` + placesOf(w, f.Ports) + `)`
	}
	if len(f.Items) > 0 {
		text += ` AND ` + of + `item IN (` + placesOf(w, f.Items) + `)`
	}
	return text
}

func placesOf[T ~string](w *where, values []T) string {
	first := len(w.args) + 1
	for _, v := range values {
		w.args = append(w.args, string(v))
	}
	return places(first, len(values))
}

func feed(ctx context.Context, q querier, text string, args []any) ([]Fed, error) {
	rows, err := q.QueryContext(ctx, text, args...)
	if err != nil {
		return nil, err
	}
	defer rows.Close()
	var out []Fed
	for rows.Next() {
		f, err := scanFed(rows)
		if err != nil {
			return nil, err
		}
		out = append(out, f)
	}
	return out, rows.Err()
}

func scanFed(rows *sql.Rows) (Fed, error) {
	var f Fed
	var day, currency string
	err := rows.Scan(&f.ID, &f.Port, &f.Item, &day, &f.Found, &f.Paid.Minor, &currency, &f.Pack, &f.Shop, &f.Reporter,
		&f.Report.Source, &f.Quality, &f.Origin, &f.Note, &f.Replaces, &f.Source, &f.Number, &f.Mark.Seq)
	if err != nil {
		return f, err
	}
	f.Mark.ID, f.Paid.Currency = f.ID, money.Currency(currency)
	f.Day, err = calendar.Parse(day)
	return f, err
}

// End is the place after everything that came in so far.
func (d *DB) End(ctx context.Context) (Mark, error) {
	var m Mark
	err := d.reader.QueryRowContext(ctx, `SELECT seq, id FROM report ORDER BY seq DESC, id DESC LIMIT 1`).Scan(&m.Seq, &m.ID)
	if errors.Is(err, sql.ErrNoRows) {
		return Mark{}, nil
	}
	if err != nil {
		return Mark{}, fmt.Errorf("end of the feed: %w", err)
	}
	return m, nil
}

// HasMark says whether a mark is a place in this database's order: it is not
// once the database was put back to an earlier state.
func (d *DB) HasMark(ctx context.Context, m Mark) (bool, error) {
	if m == (Mark{}) {
		return true, nil
	}
	var n int
	err := d.reader.QueryRowContext(ctx, `SELECT COUNT(*) FROM report WHERE id = $1 AND seq = $2`, m.ID, m.Seq).Scan(&n)
	if err != nil {
		return false, fmt.Errorf("mark: %w", err)
	}
	return n == 1, nil
}

// clamped is a day no later than the last one that can have come; said is the
// day as given where that is another.
func clamped(d, last calendar.Day) (day calendar.Day, said string) {
	if d <= last {
		return d, ""
	}
	return last, d.String()
}
