package db

import (
	"context"
	"fmt"
	"math"
	"strings"

	"hardtack/pricing"
	"hardtack/pricing/calendar"
)

// Filter says which reports; the zero value is all of them.
type Filter struct {
	Port     pricing.PortID
	Item     pricing.ItemID
	Reporter string
	Since    calendar.Day // on or after
	After    int64        // that came in, or with Published were told, with a later change than this
	// Published leaves out what was not told to everybody yet, or was taken back.
	Published bool
	Until     int64  // as things stood after this change: it came in, was told or was not taken back by then; 0: now
	Account   string // of this account's reporters
	// Standing leaves out what a later report replaced, and withdrawals.
	Standing bool
}

// Cursor is a place in a listing of reports: after the report it names.
type Cursor struct {
	Day calendar.Day
	ID  string
}

// Page gives up to limit reports, newest day first, ids descending within a
// day, that come after a cursor; the zero Cursor is the beginning. More says
// whether others follow. New reports never move those after the cursor.
func (d *DB) Page(ctx context.Context, f Filter, after Cursor, limit int) (page []pricing.Report, more bool, err error) {
	w := f.where()
	if after.ID != "" {
		w.add(`(day, id) < (` + w.place(after.Day.String()) + `, ` + w.place(after.ID) + `)`)
	}
	text := w.text() + ` ORDER BY day DESC, id DESC LIMIT ` + w.place(limit+1)
	err = eachReport(ctx, d.reader, func(r pricing.Report) error { page = append(page, r); return nil }, text, w.args...)
	if err != nil {
		return nil, false, fmt.Errorf("list reports: %w", err)
	}
	if len(page) > limit {
		return page[:limit], true, nil
	}
	return page, false, nil
}

// EachReport hands every report of the filter to f, in the order they came in.
// It stops at f's error and returns that.
func (d *DB) EachReport(ctx context.Context, f Filter, each func(pricing.Report) error) error {
	w := f.where()
	if err := eachReport(ctx, d.reader, each, w.text()+` ORDER BY seq, id`, w.args...); err != nil {
		return fmt.Errorf("read reports: %w", err)
	}
	return nil
}

// EachReporter hands the reports of the filter to f, those of one reporter
// together. It stops at f's error and returns that.
func (d *DB) EachReporter(ctx context.Context, f Filter, each func([]pricing.Report) error) error {
	var own []pricing.Report
	w := f.where()
	err := eachReport(ctx, d.reader, func(r pricing.Report) error {
		if len(own) > 0 && own[0].Reporter != r.Reporter {
			if err := each(own); err != nil {
				return err
			}
			own = own[:0]
		}
		own = append(own, r)
		return nil
	}, w.text()+` ORDER BY reporter, day, id`, w.args...)
	if err == nil && len(own) > 0 {
		err = each(own)
	}
	if err != nil {
		return fmt.Errorf("read reports: %w", err)
	}
	return nil
}

// CountReports is how many reports the filter lets through.
func (d *DB) CountReports(ctx context.Context, f Filter) (int, error) {
	w := f.where()
	var n int
	text := strings.Replace(w.text(), reportColumns, `COUNT(*)`, 1)
	if err := d.reader.QueryRowContext(ctx, text, w.args...).Scan(&n); err != nil {
		return 0, fmt.Errorf("count reports: %w", err)
	}
	return n, nil
}

// where builds a condition; its places are numbered as they are first used.
type where struct {
	parts []string
	args  []any
}

func (w *where) add(part string) { w.parts = append(w.parts, part) }

func (w *where) place(arg any) string {
	w.args = append(w.args, arg)
	return fmt.Sprintf("$%d", len(w.args))
}

func (w *where) text() string {
	text := `SELECT ` + reportColumns + ` FROM report`
	if len(w.parts) > 0 {
		text += ` WHERE ` + strings.Join(w.parts, ` AND `)
	}
	return text
}

// until is the last change that counts.
func (f Filter) until() int64 {
	if f.Until == 0 {
		return math.MaxInt64
	}
	return f.Until
}

func (f Filter) where() *where {
	w := &where{}
	for _, c := range []struct{ column, value string }{
		{"port = ", string(f.Port)}, {"item = ", string(f.Item)}, {"reporter = ", f.Reporter}, {"day >= ", f.Since.String()},
	} {
		if c.value != "" {
			w.add(c.column + w.place(c.value))
		}
	}
	switch {
	case f.Published:
		w.add(`EXISTS (SELECT 1 FROM published WHERE published.report = report.id AND published.seq > ` + w.place(f.After) + ` AND published.seq <= ` + w.place(f.until()) + `
			AND NOT EXISTS (SELECT 1 FROM published back WHERE back.replaces = published.id AND back.replaces <> '' AND back.seq <= ` + w.place(f.until()) + `))`)
	default:
		if f.After > 0 {
			w.add(`seq > ` + w.place(f.After))
		}
		if f.Until > 0 { // no index is any help for nearly all there is
			w.add(`+seq <= ` + w.place(f.Until))
		}
	}
	if f.Account != "" {
		w.add(`reporter IN (SELECT reporter FROM author WHERE account = ` + w.place(f.Account) + `)`)
	}
	if f.Standing {
		w.add(`found <> '' AND NOT EXISTS (SELECT 1 FROM report later WHERE later.replaces = report.id AND later.replaces <> '' AND later.reporter = report.reporter)`)
	}
	return w
}
