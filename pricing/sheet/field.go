package sheet

import (
	"math"
	"strconv"
	"strings"

	"hardtack/pricing/calendar"
)

// Required is the field of a column that must not be empty.
func (s *Reader) Required(column int, expected string) string {
	text := s.Text(column)
	if strings.TrimSpace(text) == "" {
		s.Reject(column, expected)
	}
	return text
}

// Number is a plain decimal number between low and high, both allowed: no
// exponent, no plus, no infinity.
func (s *Reader) Number(column int, low, high float64, expected string) float64 {
	x, ok := Decimal(s.Text(column))
	if !ok || x < low || x > high {
		s.Reject(column, expected)
		return 0
	}
	return x
}

// Day is a day written YYYY-MM-DD.
func (s *Reader) Day(column int) calendar.Day {
	d, err := calendar.Parse(s.Text(column))
	if err != nil || d.IsZero() {
		s.Reject(column, "a day that exists, written YYYY-MM-DD")
		return 0
	}
	return d
}

// Decimal reads a plain decimal number such as -12.5.
func Decimal(text string) (float64, bool) {
	digits := strings.TrimPrefix(text, "-")
	if digits == "" || strings.Trim(digits, "0123456789.") != "" || digits[0] == '.' || digits[len(digits)-1] == '.' {
		return 0, false
	}
	x, err := strconv.ParseFloat(text, 64)
	return x, err == nil && !math.IsInf(x, 0)
}

// Country says whether text is in the form of an ISO 3166-1 alpha-2 code.
func Country(text string) bool {
	return len(text) == 2 && strings.Trim(text, "ABCDEFGHIJKLMNOPQRSTUVWXYZ") == ""
}
