package fx

import (
	"fmt"
	"io"
	"maps"
	"slices"

	"hardtack/pricing/calendar"
	"hardtack/pricing/money"
	"hardtack/pricing/sheet"
)

// Read reads the columns currency, day, per_reference and perhaps reference.
// The reference currency is the one whose rate is always 1, or, where more
// would qualify, the one marked yes in reference. One bad row is an error.
func Read(r io.Reader) (Rates, error) {
	rates, rejected, err := ReadRows(r, "rates.csv")
	if err == nil && len(rejected) > 0 {
		err = rejected[0]
	}
	if err != nil {
		return Rates{}, err
	}
	return rates, nil
}

const (
	colCurrency = iota
	colDay
	colPer
	colReference
)

// ReadRows is Read for a file with bad rows: these are told, the others used.
// Of rows that contradict each other none is used. The error is
// sheet.ErrRefused, also when there is no single reference currency.
func ReadRows(r io.Reader, file string) (Rates, []sheet.Rejection, error) {
	s, err := sheet.NewReader(r, file, []string{"currency", "day", "per_reference"}, "reference")
	if err != nil {
		return Rates{}, nil, err
	}
	rows := sheet.NewUnique[key, row](s, colPer)
	for s.Next() {
		x := readRow(s)
		rows.Add(key{x.Currency, x.Day}, x)
	}
	if s.Err() != nil {
		return Rates{}, nil, s.Err()
	}
	standing, _ := rows.Standing("one rate for a currency and day")
	rates, err := build(standing)
	if err != nil {
		return Rates{}, nil, fmt.Errorf("%s: %w: %w", file, sheet.ErrRefused, err)
	}
	return rates, s.Rejected(), nil
}

type key struct {
	currency money.Currency
	day      calendar.Day
}

func (k key) String() string { return string(k.currency) + " of " + k.day.String() }

type row struct {
	Rate
	marked bool
}

func readRow(s *sheet.Reader) row {
	x := row{Rate: Rate{Currency: money.Currency(s.Text(colCurrency))}}
	if money.CheckCurrency(x.Currency) != nil {
		s.Reject(colCurrency, "an ISO 4217 code such as EUR")
	}
	x.Day = s.Day(colDay)
	x.PerReference = s.Number(colPer, minRate, maxRate, "a number above 0: units of the currency for one unit of the reference currency")
	switch s.Text(colReference) {
	case "yes":
		x.marked = true
	case "", "no":
	default:
		s.Reject(colReference, "yes, or nothing")
	}
	return x
}

// build finds the reference currency.
func build(rows []row) (Rates, error) {
	always, marked := map[money.Currency]bool{}, map[money.Currency]bool{}
	rates := make([]Rate, len(rows))
	for k, x := range rows {
		rates[k] = x.Rate
		one, seen := always[x.Currency]
		always[x.Currency] = x.PerReference == 1 && (one || !seen)
		if x.marked {
			marked[x.Currency] = true
		}
	}
	maps.DeleteFunc(always, func(_ money.Currency, one bool) bool { return !one })
	found := marked
	if len(marked) == 0 {
		found = always
	}
	names := slices.Sorted(maps.Keys(found))
	if len(names) != 1 {
		return Rates{}, fmt.Errorf("%w: could be %v; want exactly one whose rate is always 1, or one marked yes in the column reference", ErrReference, names)
	}
	return New(names[0], rates)
}
