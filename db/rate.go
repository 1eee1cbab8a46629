package db

import (
	"context"
	"fmt"
	"math"

	"hardtack/pricing/calendar"
	"hardtack/pricing/money"
)

// Rate is what one unit of the reference currency costs in Currency from Day on.
type Rate struct {
	Currency     money.Currency
	Day          calendar.Day
	PerReference float64
	Source       string
}

// PutRates keeps rates of exchange, all or none. A day's rate can be put
// right: the later one holds. The same rates again change nothing.
func (d *DB) PutRates(ctx context.Context, rates []Rate) error {
	for i, r := range rates {
		if err := checkRate(r); err != nil {
			return fmt.Errorf("put rates: rates[%d]: %w", i, err)
		}
	}
	err := d.write(ctx, func(t writeTx) error {
		old, err := ratesByDay(ctx, t.Tx)
		if err != nil {
			return err
		}
		fresh := 0
		for _, r := range rates {
			if old[rateKey{r.Currency, r.Day}] == r {
				continue
			}
			fresh++
			if err := t.putRate(ctx, r); err != nil {
				return err
			}
		}
		if fresh > 0 {
			_, err = t.log(ctx, KindRate, "", put, fresh)
		}
		return err
	})
	if err != nil {
		return fmt.Errorf("put rates: %w", err)
	}
	return nil
}

func (t writeTx) putRate(ctx context.Context, r Rate) error {
	_, err := t.ExecContext(ctx, `
		INSERT INTO rate (currency, day, per_reference, source) VALUES ($1, $2, $3, $4)
		ON CONFLICT (currency, day) DO UPDATE SET per_reference = excluded.per_reference, source = excluded.source`,
		string(r.Currency), r.Day.String(), r.PerReference, r.Source)
	return err
}

func checkRate(r Rate) error {
	if r.Currency == "" || r.Day.IsZero() || !(r.PerReference > 0) || math.IsInf(r.PerReference, 0) {
		return fmt.Errorf("%w: want a currency, a day and a rate above 0, found %q, %q and %v; nothing was changed",
			ErrInvalid, r.Currency, r.Day, r.PerReference)
	}
	return checkText(string(r.Currency), r.Source)
}

type rateKey struct {
	currency money.Currency
	day      calendar.Day
}

func ratesByDay(ctx context.Context, q querier) (map[rateKey]Rate, error) {
	list, err := ratesOf(ctx, q)
	out := make(map[rateKey]Rate, len(list))
	for _, r := range list {
		out[rateKey{r.Currency, r.Day}] = r
	}
	return out, err
}

// Rates gives all rates kept, by currency and day.
func (d *DB) Rates(ctx context.Context) ([]Rate, error) {
	list, err := ratesOf(ctx, d.reader)
	if err != nil {
		return nil, fmt.Errorf("read rates: %w", err)
	}
	return list, nil
}

func ratesOf(ctx context.Context, q querier) ([]Rate, error) {
	rows, err := q.QueryContext(ctx, `SELECT currency, day, per_reference, source FROM rate ORDER BY currency, day`)
	if err != nil {
		return nil, err
	}
	defer rows.Close()
	var out []Rate
	for rows.Next() {
		var r Rate
		var day string
		if err := rows.Scan(&r.Currency, &day, &r.PerReference, &r.Source); err != nil {
			return nil, err
		}
		if r.Day, err = calendar.Parse(day); err != nil {
			return nil, err
		}
		out = append(out, r)
	}
	return out, rows.Err()
}
