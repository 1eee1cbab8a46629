package db

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"maps"
	"slices"
	"time"

	"hardtack/pricing"
	"hardtack/pricing/calendar"
)

// Pool is a port's month in which something may wait to be told to everybody.
// A report is in that of its day, or of when it came in if that is later.
type Pool struct {
	Port  pricing.PortID
	Month calendar.Day // its first day
	seq   int64        // the last change that put something in
}

// Look is what was found when a pool was looked at.
type Look struct {
	Pool
	Empty bool // nothing waits there any more
	// Next is the first day on which it is worth another look, unless something
	// comes or the rule is not Rule any more.
	Next calendar.Day
	Rule string
}

// Pools are those worth a look on a day under any of some rules, by month and
// port.
func (d *DB) Pools(ctx context.Context, today calendar.Day, rules ...string) ([]Pool, error) {
	w := &where{}
	text := `SELECT port, month, seq FROM pool WHERE look <= ` + w.place(today.String()) +
		` OR rule NOT IN (` + placesOf(w, append([]string{""}, rules...)) + `) ORDER BY month, port`
	rows, err := d.reader.QueryContext(ctx, text, w.args...)
	if err != nil {
		return nil, fmt.Errorf("pools: %w", err)
	}
	defer rows.Close()
	var out []Pool
	for rows.Next() {
		var p Pool
		var month string
		if err := rows.Scan(&p.Port, &month, &p.seq); err != nil {
			return nil, fmt.Errorf("pools: %w", err)
		}
		if p.Month, err = calendar.Parse(month); err != nil {
			return nil, fmt.Errorf("pools: %w", err)
		}
		out = append(out, p)
	}
	return out, rows.Err()
}

// looked keeps what was found, unless something came meanwhile.
func (t writeTx) looked(ctx context.Context, looks []Look) error {
	for _, l := range looks {
		text, args := `UPDATE pool SET rule = $1, look = $2 WHERE port = $3 AND month = $4 AND seq = $5`,
			[]any{l.Rule, l.Next.String(), string(l.Port), l.Month.String(), l.seq}
		if l.Empty {
			text, args = `DELETE FROM pool WHERE port = $1 AND month = $2 AND seq = $3`, args[2:]
		}
		if _, err := t.ExecContext(ctx, text, args...); err != nil {
			return err
		}
	}
	return nil
}

// poolKey is a pool as it is kept.
type poolKey struct{ port, month string }

func (k poolKey) compare(o poolKey) int {
	return cmp.Or(cmp.Compare(k.month, o.month), cmp.Compare(k.port, o.port))
}

// poolOf is the pool of a report and the first day on which looking into it may
// be worth it, empty for at once. What is told of a report that was old when it
// came has nothing to do with the month.
func poolOf(port string, day calendar.Day, receivedMs int64) (k poolKey, look string) {
	came := calendar.Of(time.UnixMilli(receivedMs))
	month := max(day, came).Month()
	if came-day <= oldWhenItCame {
		look = (month + 31).Month().String()
	}
	return poolKey{port, month.String()}, look
}

// oldWhenItCame is from how many days on a report counts as old on its arrival.
// Whoever decides what is told may draw the line at any later one.
const oldWhenItCame = 90

// pour notes that reports came into their pools.
func (t writeTx) pour(ctx context.Context, rs []pricing.Report, seq, receivedMs int64) error {
	pools := map[poolKey]string{}
	for _, r := range rs {
		if r.Found == pricing.Withdrawn {
			continue
		}
		k, look := poolOf(string(r.Port), r.Day, receivedMs)
		if had, again := pools[k]; again {
			look = min(look, had)
		}
		pools[k] = look
	}
	return t.putPools(ctx, pools, seq)
}

func (t writeTx) putPools(ctx context.Context, pools map[poolKey]string, seq int64) error {
	keys := slices.SortedFunc(maps.Keys(pools), poolKey.compare)
	for some := range slices.Chunk(keys, portsAtOnce) {
		w := &where{}
		text := `INSERT INTO pool (port, month, seq, rule, look) VALUES `
		for i, k := range some {
			if i > 0 {
				text += `, `
			}
			text += `(` + w.place(k.port) + `, ` + w.place(k.month) + `, ` + w.place(seq) + `, '', ` + w.place(pools[k]) + `)`
		}
		text += ` ON CONFLICT (port, month) DO UPDATE SET seq = excluded.seq,
			look = CASE WHEN excluded.look < pool.look THEN excluded.look ELSE pool.look END`
		if _, err := t.ExecContext(ctx, text, w.args...); err != nil {
			return fmt.Errorf("pools: %w", err)
		}
	}
	return nil
}

// pourAgain notes that a report waits again.
func (t writeTx) pourAgain(ctx context.Context, report string, seq int64) error {
	return t.pourFrom(ctx, seq, `report_key k JOIN report ON report.id = k.id AND report.port = k.port AND report.received_ms = k.received_ms
		WHERE k.id = $1`, report)
}

// pourRestored is pourAll where the schema has pools.
func (t writeTx) pourRestored(ctx context.Context) error {
	names, err := t.db.tableNames(ctx)
	if err != nil || !slices.Contains(names, poolsName) {
		return err // the migration that makes them fills them
	}
	return t.pourAll(ctx)
}

// pourAll makes the pools of all there is, each to be looked at.
func (t writeTx) pourAll(ctx context.Context) error {
	if _, err := t.ExecContext(ctx, `DELETE FROM pool`); err != nil {
		return err
	}
	var seq int64
	if err := t.QueryRowContext(ctx, `SELECT COALESCE(MAX(seq), 0) FROM change`).Scan(&seq); err != nil {
		return err
	}
	return t.pourFrom(ctx, seq, `report`)
}

// pourFrom puts reports into their pools to be looked at at once.
func (t writeTx) pourFrom(ctx context.Context, seq int64, from string, args ...any) error {
	rows, err := t.QueryContext(ctx, `SELECT report.port, report.day, report.received_ms FROM `+from, args...)
	if err != nil {
		return err
	}
	defer rows.Close()
	pools := map[poolKey]string{}
	for rows.Next() {
		var port, text string
		var receivedMs int64
		if err := rows.Scan(&port, &text, &receivedMs); err != nil {
			return err
		}
		day, err := calendar.Parse(text)
		if err != nil {
			return err
		}
		k, _ := poolOf(port, day, receivedMs)
		pools[k] = ""
	}
	if err := errors.Join(rows.Err(), rows.Close()); err != nil { // before anything else is asked of the connection
		return err
	}
	return t.putPools(ctx, pools, seq)
}
