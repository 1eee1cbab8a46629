// Package money has exact sums of money in minor units. Mixing currencies is
// an error, never a conversion: that needs a date and a rate, see pricing/fx.
//
// How many decimals a currency has follows ISO 4217, also where the coins have
// left use: CVE has two, ISK, CLP, XOF and XPF none. What a shop rounds to is
// no matter of the currency.
package money

import (
	"errors"
	"fmt"
	"math"

	"github.com/bojanz/currency"
)

// Currency is an ISO 4217 code, upper case.
type Currency string

// Amount is a sum in minor units of Currency (cents; whole króna for ISK).
type Amount struct {
	Minor    int64    `json:"minor"`
	Currency Currency `json:"currency"`
}

// What callers may test for with errors.Is.
var (
	ErrCurrency = errors.New("not a currency of ISO 4217")
	ErrMixed    = errors.New("two currencies in one sum")
	ErrAmount   = errors.New("not a sum of money")
)

// withdrawn are currencies that ISO 4217 lists as historic and that old
// reports still bear, with their decimals (from memory).
var withdrawn = map[Currency]int{"ANG": 2, "BGN": 2, "HRK": 2, "SLL": 2, "ZWL": 2}

// Digits is the number of decimals of c in ISO 4217, its "minor unit"; the
// error is ErrCurrency.
func Digits(c Currency) (int, error) {
	if n, ok := currency.GetDigits(string(c)); ok {
		return int(n), nil
	}
	if n, ok := withdrawn[c]; ok {
		return n, nil
	}
	return 0, fmt.Errorf("currency %q: %w: want a code such as EUR", c, ErrCurrency)
}

// CheckCurrency is nil when c is, or was, a code of ISO 4217, else ErrCurrency.
func CheckCurrency(c Currency) error {
	_, err := Digits(c)
	return err
}

// FromFloat rounds x units of c to its minor unit, halves away from zero.
func FromFloat(x float64, c Currency) (Amount, error) {
	n, err := Digits(c)
	if err != nil {
		return Amount{}, err
	}
	minor := math.Round(x * scale(n))
	if !(math.Abs(minor) <= maxMinor) {
		return Amount{}, fmt.Errorf("%v %s: %w: want a finite number below %d", x, c, ErrAmount, int64(maxMinor))
	}
	return Amount{int64(minor), c}, nil
}

// maxMinor keeps every sum exact as a float64 too.
const maxMinor = 1 << 53

func scale(digits int) float64 { return float64(tens[digits]) }

// tens are the powers of ten that decimals of any currency need.
var tens = [...]int64{1, 10, 100, 1000, 10_000}

// Float is the amount in units of its currency. A currency that is not of
// ISO 4217 counts as having two decimals.
func (a Amount) Float() float64 { return float64(a.Minor) / scale(a.digits()) }

func (a Amount) digits() int {
	n, err := Digits(a.Currency)
	if err != nil {
		return 2
	}
	return n
}

// Add is a + b; the error is ErrMixed, or ErrAmount when the sum is too large.
func (a Amount) Add(b Amount) (Amount, error) {
	if a.Currency != b.Currency {
		return Amount{}, fmt.Errorf("add %s to %s: %w", b, a, ErrMixed)
	}
	sum := a.Minor + b.Minor
	if (sum > a.Minor) != (b.Minor > 0) && b.Minor != 0 {
		return Amount{}, fmt.Errorf("add %s to %s: %w: too large", b, a, ErrAmount)
	}
	return Amount{sum, a.Currency}, nil
}
