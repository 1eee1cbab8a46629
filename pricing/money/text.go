package money

import (
	"fmt"
	"math/big"
	"strconv"
	"strings"

	"github.com/bojanz/currency"
)

// Parse reads a decimal number of units of c as people write it: with a point
// or a comma, without sign, exponent or thousands marks. More decimals than c
// has are an error, unless they are zeros as in "12.00" ISK; three digits
// after the mark might be thousands, so "1.500" ISK is refused.
func Parse(s string, c Currency) (Amount, error) {
	n, err := Digits(c)
	if err != nil {
		return Amount{}, err
	}
	text := strings.TrimSpace(s)
	if strings.Count(text, ",") == 1 && !strings.Contains(text, ".") {
		text = strings.Replace(text, ",", ".", 1)
	}
	whole, frac, _ := strings.Cut(text, ".")
	if len(frac) > n && (len(frac) > 2 || strings.Trim(frac[n:], "0") != "") {
		return Amount{}, fmt.Errorf("amount %q: %w: want a decimal number with at most %d decimals, as %s is paid", s, ErrAmount, n, c)
	}
	minor, err := digits(whole, frac, n, text)
	if err != nil {
		return Amount{}, fmt.Errorf("amount %q: %w: want a decimal number such as %s", s, ErrAmount, example(c))
	}
	return Amount{minor, c}, nil
}

// ParseRounded reads a plain decimal number, point only, with any number of
// decimals, and rounds it to the minor unit of c, halves up. Files of prices
// that were worked out rather than paid have such numbers.
func ParseRounded(s string, c Currency) (Amount, error) {
	n, err := Digits(c)
	if err != nil {
		return Amount{}, err
	}
	whole, frac, _ := strings.Cut(s, ".")
	minor, err := digits(whole, frac, n, s)
	if err != nil {
		return Amount{}, fmt.Errorf("amount %q: %w: want a decimal number such as %s", s, ErrAmount, example(c))
	}
	if len(frac) > n && frac[n] >= '5' {
		minor++
	}
	return Amount{minor, c}, nil
}

// maxDigits before the point keep the amount below maxMinor.
const maxDigits = 11

// digits joins both sides of the point into minor units, cutting frac to n.
func digits(whole, frac string, n int, all string) (int64, error) {
	if whole == "" || len(strings.TrimLeft(whole, "0")) > maxDigits || strings.HasSuffix(all, ".") {
		return 0, ErrAmount
	}
	minor := int64(0)
	for k := range len(whole) + max(n, len(frac)) {
		d := byte('0')
		switch f := k - len(whole); {
		case f < 0:
			d = whole[k]
		case f < len(frac):
			d = frac[f]
		}
		if d < '0' || d > '9' {
			return 0, ErrAmount
		}
		if k < len(whole)+n {
			minor = minor*10 + int64(d-'0')
		}
	}
	return minor, nil
}

func example(c Currency) string { return Amount{1250, c}.Decimal() }

// Decimal is the amount with a point and all the decimals of its currency,
// which Parse reads back.
func (a Amount) Decimal() string {
	n := a.digits()
	sign, m := "", strconv.FormatInt(a.Minor, 10)
	if a.Minor < 0 {
		sign, m = "-", m[1:]
	}
	if n == 0 {
		return sign + m
	}
	if len(m) <= n {
		m = strings.Repeat("0", n+1-len(m)) + m
	}
	return sign + m[:len(m)-n] + "." + m[len(m)-n:]
}

// String is the amount with its code: "12.50 EUR".
func (a Amount) String() string { return a.Decimal() + " " + string(a.Currency) }

// Format writes the amount as people of a place do; locale is a BCP 47 tag
// such as "pt-PT". A currency that is not of ISO 4217 gives String.
func (a Amount) Format(locale string) string {
	x, err := currency.NewAmountFromBigInt(big.NewInt(a.Minor), string(a.Currency))
	if err != nil {
		return a.String()
	}
	return currency.NewFormatter(currency.NewLocale(locale)).Format(x)
}
