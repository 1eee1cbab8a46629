// Package money has exact sums of money in minor units. Mixing currencies is
// an error, never a conversion: that needs a date and a rate, see pricing/fx.
package money

// Currency is an ISO 4217 code, upper case.
type Currency string

// Amount is a sum in minor units of Currency (cents; whole króna for ISK).
type Amount struct {
	Minor    int64    `json:"minor"`
	Currency Currency `json:"currency"`
}
