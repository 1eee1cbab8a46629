// Package fx has dated rates of exchange against one reference currency.
//
// The rate of a day is the newest on or before it; before the first, the
// first. Nothing is interpolated: a rate is what somebody wrote down.
package fx

import (
	"errors"
	"fmt"
	"maps"
	"slices"

	"hardtack/pricing/calendar"
	"hardtack/pricing/money"
)

// What callers may test for with errors.Is.
var (
	ErrNoRate    = errors.New("no rate of exchange")
	ErrReference = errors.New("no single reference currency")
	ErrRate      = errors.New("not a rate of exchange")
)

// Rate says that from Day on one unit of the reference currency is worth
// PerReference units of Currency.
type Rate struct {
	Currency     money.Currency
	Day          calendar.Day
	PerReference float64
}

// Rates are the rates known. The zero Rates know none. They never change:
// With gives new ones.
type Rates struct {
	reference  money.Currency
	byCurrency map[money.Currency][]Rate // ascending by day
}

// New checks and sorts rates. A later element replaces an earlier one of the
// same currency and day. Errors: ErrRate, ErrReference when a rate of the
// reference currency is not 1.
func New(reference money.Currency, rates []Rate) (Rates, error) {
	if err := money.CheckCurrency(reference); err != nil {
		return Rates{}, fmt.Errorf("rates: %w: %w", ErrReference, err)
	}
	return Rates{reference: reference}.With(rates)
}

// With gives the rates with more of them; errors as New, r is unchanged.
func (r Rates) With(more []Rate) (Rates, error) {
	out := Rates{r.reference, map[money.Currency][]Rate{}}
	maps.Copy(out.byCurrency, r.byCurrency)
	for _, x := range more {
		if err := r.check(x); err != nil {
			return Rates{}, fmt.Errorf("rate of %s on %s: %w", x.Currency, x.Day, err)
		}
		out.byCurrency[x.Currency] = insert(out.byCurrency[x.Currency], x)
	}
	if out.byCurrency[r.reference] == nil {
		out.byCurrency[r.reference] = []Rate{{r.reference, 1, 1}}
	}
	return out, nil
}

func (r Rates) check(x Rate) error {
	switch {
	case money.CheckCurrency(x.Currency) != nil:
		return money.CheckCurrency(x.Currency)
	case !Plausible(x.PerReference):
		return fmt.Errorf("%w: %v: want a number from %g to %g", ErrRate, x.PerReference, minRate, maxRate)
	case x.Day.IsZero():
		return fmt.Errorf("%w: want a day", ErrRate)
	case x.Currency == r.reference && x.PerReference != 1:
		return fmt.Errorf("%w: %v: want 1, it is the reference currency", ErrReference, x.PerReference)
	}
	return nil
}

// Rates beyond these are slips: no currency in use is worth so little or much.
const minRate, maxRate = 1e-6, 1e9

// Plausible says whether x can be a rate.
func Plausible(x float64) bool { return x >= minRate && x <= maxRate }

// insert never changes the array of old, which other Rates share.
func insert(old []Rate, x Rate) []Rate {
	k, same := slices.BinarySearchFunc(old, x.Day, func(a Rate, d calendar.Day) int { return int(a.Day) - int(d) })
	out := slices.Clone(old)
	if same {
		out[k] = x
		return out
	}
	return slices.Insert(out, k, x)
}

// Reference is the currency all rates are against.
func (r Rates) Reference() money.Currency { return r.reference }

// Currencies are those with a rate, in alphabetical order.
func (r Rates) Currencies() []money.Currency { return slices.Sorted(maps.Keys(r.byCurrency)) }

// All are the rates by currency and day. The caller may change the result.
func (r Rates) All() []Rate {
	var out []Rate
	for _, c := range r.Currencies() {
		out = append(out, r.byCurrency[c]...)
	}
	return out
}

// Per is how many units of c one unit of the reference currency is worth on
// day d, and the day that rate is of. The error is ErrNoRate.
func (r Rates) Per(c money.Currency, d calendar.Day) (float64, calendar.Day, error) {
	rates := r.byCurrency[c]
	if len(rates) == 0 {
		return 0, 0, fmt.Errorf("currency %q: %w against %s", c, ErrNoRate, r.reference)
	}
	k, _ := slices.BinarySearchFunc(rates, d+1, func(a Rate, d calendar.Day) int { return int(a.Day) - int(d) })
	at := rates[max(k-1, 0)]
	return at.PerReference, at.Day, nil
}

// InReference is an amount in units of the reference currency at the rate of
// day d. The error is ErrNoRate.
func (r Rates) InReference(a money.Amount, d calendar.Day) (float64, error) {
	per, _, err := r.Per(a.Currency, d)
	if err != nil {
		return 0, err
	}
	return a.Float() / per, nil
}
