package db

import (
	"context"
	"database/sql"
	"fmt"
	"maps"
	"slices"

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
	Pool       calendar.Day // the month of its pool
}

// portsAtOnce keeps a statement's parameters few and its answer in memory.
const portsAtOnce = 200

// EachUntold hands every report of some pools to f that stands and was not told
// yet; it stops at f's error. Those a moderator left out, and those another one
// was told instead of, are not among them.
func (d *DB) EachUntold(ctx context.Context, pools []Pool, each func(Untold) error) error {
	ports := map[calendar.Day][]pricing.PortID{}
	for _, p := range pools {
		ports[p.Month] = append(ports[p.Month], p.Port)
	}
	for _, month := range slices.Sorted(maps.Keys(ports)) {
		for some := range slices.Chunk(ports[month], portsAtOnce) {
			if err := d.eachUntold(ctx, month, some, each); err != nil {
				return fmt.Errorf("reports not told yet: %w", err)
			}
		}
	}
	return nil
}

func (d *DB) eachUntold(ctx context.Context, month calendar.Day, ports []pricing.PortID, each func(Untold) error) error {
	next := (month + 31).Month()
	came := func(w *where) string { // in the month, of a day not later than it
		return `report.received_ms >= ` + w.place(month.Time().UnixMilli()) + ` AND report.received_ms < ` + w.place(next.Time().UnixMilli()) +
			` AND report.day < ` + w.place(next.String())
	}
	dated := func(w *where) string { // in the month, by a clock that is ahead of ours
		return `report.day >= ` + w.place(month.String()) + ` AND report.day < ` + w.place(next.String()) +
			` AND report.received_ms < ` + w.place(month.Time().UnixMilli())
	}
	for _, when := range []func(*where) string{came, dated} {
		w := &where{}
		rows, err := d.reader.QueryContext(ctx, `
			SELECT report.id, report.port, report.item, report.day, report.found, report.replaces, report.reporter,
				report.paid_minor, report.currency, report.pack, COALESCE(author.account, ''), report.received_ms
			FROM report LEFT JOIN author ON author.reporter = report.reporter
			LEFT JOIN verdict ON verdict.report = report.id
			WHERE report.port IN (`+placesOf(w, ports)+`) AND `+when(w)+`
				AND COALESCE(verdict.verdict, '') NOT IN ('leave_out', 'passed_over') AND report.found <> ''
				AND NOT EXISTS (SELECT 1 FROM published WHERE published.report = report.id)
				AND NOT EXISTS (SELECT 1 FROM report later WHERE later.replaces = report.id AND later.replaces <> '' AND later.reporter = report.reporter)`, w.args...)
		if err != nil {
			return err
		}
		if err := scanUntold(rows, month, each); err != nil {
			return err
		}
	}
	return nil
}

func scanUntold(rows *sql.Rows, month calendar.Day, each func(Untold) error) error {
	defer rows.Close()
	for rows.Next() {
		u := Untold{Pool: month}
		var day, currency string
		err := rows.Scan(&u.ID, &u.Port, &u.Item, &day, &u.Found, &u.Replaces, &u.Reporter, &u.Paid.Minor, &currency, &u.Pack, &u.Account, &u.ReceivedMs)
		if err != nil {
			return err
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
// that were replaced or left out since. idOf is the id told for a number; looks
// are what was found in the pools the reports are from. It gives how many were
// told and taken back.
func (d *DB) Publish(ctx context.Context, ps []Publication, looks []Look, idOf func(number int64) string) (told, back int, err error) {
	var at int64
	err = d.write(ctx, func(t writeTx) error {
		if err := t.QueryRowContext(ctx, `SELECT COALESCE(MAX(seq), 0) FROM change`).Scan(&at); err != nil {
			return err
		}
		since := d.backed.Load()
		still, err := t.standing(ctx, since, ps)
		if err != nil {
			return err
		}
		gone, err := t.toTakeBack(ctx, since)
		if err != nil {
			return err
		}
		if len(still) == len(ps) { // or they are looked at anew
			if err := t.looked(ctx, looks); err != nil {
				return err
			}
		}
		told, back = len(still), len(gone)
		return t.publish(ctx, still, gone, idOf)
	})
	if err != nil {
		return 0, 0, fmt.Errorf("publish: %w", err)
	}
	d.backed.Store(at)
	return told, back, nil
}

func (t writeTx) publish(ctx context.Context, ps []Publication, gone []takenBack, idOf func(number int64) string) error {
	if len(ps)+len(gone) == 0 {
		return nil
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
}

// replacedSince are reports that a later one of their reporter's replaced which
// came with a later change than $1.
const replacedSince = `
	SELECT report.id FROM report later JOIN report_key k ON k.id = later.replaces
	JOIN report ON report.id = k.id AND report.port = k.port AND report.received_ms = k.received_ms
	WHERE later.seq > $1 AND later.replaces <> '' AND later.reporter = report.reporter`

// standing leaves out what was replaced after it was found to be due.
func (t writeTx) standing(ctx context.Context, since int64, ps []Publication) ([]Publication, error) {
	if len(ps) == 0 {
		return nil, nil
	}
	replaced, err := strings1(ctx, t.Tx, replacedSince, since)
	if err != nil || len(replaced) == 0 {
		return ps, err
	}
	gone := make(map[string]bool, len(replaced))
	for _, id := range replaced {
		gone[id] = true
	}
	return slices.DeleteFunc(slices.Clone(ps), func(p Publication) bool { return gone[p.Report] }), nil
}

type takenBack struct{ of, day string }

// toTakeBack are those told whose report does not stand any more: replaced since
// a change before which all was taken back, or left out.
func (t writeTx) toTakeBack(ctx context.Context, since int64) ([]takenBack, error) {
	rows, err := t.QueryContext(ctx, `
		SELECT id, day FROM published
		WHERE report IN (`+replacedSince+`
			UNION SELECT report FROM verdict WHERE verdict = 'leave_out')
		AND NOT EXISTS (SELECT 1 FROM published back WHERE back.replaces = published.id AND back.replaces <> '')
		ORDER BY id`, since)
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
