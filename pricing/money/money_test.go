package money

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// ISO 4217 "minor unit" column; the codes of our ports. From memory.
func TestDigitsFollowISO4217(t *testing.T) {
	t.Parallel()
	for c, want := range map[Currency]int{
		"EUR": 2, "GBP": 2, "NOK": 2, "CVE": 2, "XCD": 2, "MRU": 2, "STN": 2, "XCG": 2, "BMD": 2, "SRD": 2, "CRC": 2,
		"ISK": 0, "JPY": 0, "KRW": 0, "VUV": 0, "XPF": 0, "CLP": 0, "XAF": 0, "XOF": 0, "VND": 0,
		"KWD": 3, "BHD": 3, "OMR": 3, "TND": 3, "JOD": 3,
		"HRK": 2, "ANG": 2, // withdrawn, still borne by old reports
	} {
		got, err := Digits(c)
		require.NoError(t, err, c)
		require.Equal(t, want, got, c)
	}
	for _, c := range []Currency{"", "eur", "EURO", "ABC", "€"} {
		require.ErrorIs(t, CheckCurrency(c), ErrCurrency, c)
	}
}

func TestParse(t *testing.T) {
	t.Parallel()
	for _, tt := range []struct {
		text  string
		in    Currency
		minor int64 // by hand
	}{
		{"12.5", "EUR", 1250}, {"12,50", "EUR", 1250}, {"0.05", "EUR", 5}, {" 7 ", "EUR", 700},
		{"349", "ISK", 349}, {"349.00", "ISK", 349}, {"1.250", "KWD", 1250}, {"007.10", "GBP", 710},
	} {
		got, err := Parse(tt.text, tt.in)
		require.NoError(t, err, tt.text)
		require.Equal(t, Amount{tt.minor, tt.in}, got, tt.text)
	}
	for _, tt := range []struct{ text, in string }{
		{"1.500", "ISK"}, {"1,500", "EUR"}, {"1.005", "EUR"}, {"349.5", "ISK"}, // thousands, or half a króna
		{"", "EUR"}, {".5", "EUR"}, {"5.", "EUR"}, {"-1", "EUR"}, {"+1", "EUR"}, {"1e3", "EUR"}, {"NaN", "EUR"},
		{"1.2.3", "EUR"}, {"1,2,3", "EUR"}, {"1,234.50", "EUR"}, {"٣", "EUR"}, {"123456789012", "EUR"},
	} {
		_, err := Parse(tt.text, Currency(tt.in))
		require.ErrorIs(t, err, ErrAmount, tt.text)
	}
	_, err := Parse("1", "XYZ")
	require.ErrorIs(t, err, ErrCurrency)
}

func TestParseRounded(t *testing.T) {
	t.Parallel()
	for _, tt := range []struct {
		text  string
		in    Currency
		minor int64
	}{{"12.345", "EUR", 1235}, {"12.344999", "EUR", 1234}, {"349.5", "ISK", 350}, {"0.004", "EUR", 0}, {"3", "EUR", 300}} {
		got, err := ParseRounded(tt.text, tt.in)
		require.NoError(t, err, tt.text)
		require.Equal(t, tt.minor, got.Minor, tt.text)
	}
	for _, bad := range []string{"12,5", "1.2x", "1.23456x", "x", "", "1.", " 1", "1e2"} {
		_, err := ParseRounded(bad, "EUR")
		require.ErrorIs(t, err, ErrAmount, bad)
	}
}

func TestFloats(t *testing.T) {
	t.Parallel()
	a, err := FromFloat(12.345, "XOF")
	require.NoError(t, err)
	require.Equal(t, Amount{12, "XOF"}, a)
	require.InDelta(t, 12, a.Float(), 0)
	require.InDelta(t, 0.05, Amount{5, "EUR"}.Float(), 1e-15)
	for _, x := range []float64{math.NaN(), math.Inf(1), 1e30} {
		_, err := FromFloat(x, "EUR")
		require.ErrorIs(t, err, ErrAmount)
	}
	_, err = FromFloat(1, "nix")
	require.ErrorIs(t, err, ErrCurrency)
}

func TestAddKeepsCurrenciesApart(t *testing.T) {
	t.Parallel()
	sum, err := Amount{150, "EUR"}.Add(Amount{-50, "EUR"})
	require.NoError(t, err)
	require.Equal(t, Amount{100, "EUR"}, sum)
	_, err = Amount{1, "EUR"}.Add(Amount{1, "GBP"})
	require.ErrorIs(t, err, ErrMixed)
	_, err = Amount{math.MaxInt64, "EUR"}.Add(Amount{1, "EUR"})
	require.ErrorIs(t, err, ErrAmount)
	_, err = Amount{math.MinInt64, "EUR"}.Add(Amount{-1, "EUR"})
	require.ErrorIs(t, err, ErrAmount)
}

func TestTexts(t *testing.T) {
	t.Parallel()
	require.Equal(t, "-0.05 EUR", Amount{-5, "EUR"}.String())
	require.Equal(t, "349 ISK", Amount{349, "ISK"}.String())
	require.Equal(t, "12\u00a0345,60\u00a0€", Amount{1234560, "EUR"}.Format("pt-PT")) // CLDR pattern of pt-PT
	require.Equal(t, "€1,234.50", Amount{123450, "EUR"}.Format("en"))
	require.Equal(t, "1.00 XYZ", Amount{100, "XYZ"}.Format("en"))
}

func TestDecimalIsReadBack(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(r *rapid.T) {
		a := Amount{
			rapid.Int64Range(0, 99_999_999_999).Draw(r, "minor"),
			rapid.SampledFrom([]Currency{"EUR", "ISK", "TND", "CVE"}).Draw(r, "currency"),
		}
		got, err := Parse(a.Decimal(), a.Currency)
		require.NoError(r, err)
		require.Equal(r, a, got)
		got, err = ParseRounded(a.Decimal(), a.Currency)
		require.NoError(r, err)
		require.Equal(r, a, got)
		got, err = FromFloat(a.Float(), a.Currency)
		require.NoError(r, err)
		require.Equal(r, a, got)
	})
}

func FuzzParse(f *testing.F) {
	for _, s := range []string{"12.50", "1,5", "1.500", "", "9999999999999999999", "-0"} {
		f.Add(s, "EUR")
		f.Add(s, "ISK")
	}
	f.Fuzz(func(t *testing.T, s, c string) {
		a, err := Parse(s, Currency(c))
		if err != nil {
			require.Zero(t, a)
			return
		}
		again, err := Parse(a.Decimal(), a.Currency)
		require.NoError(t, err)
		require.Equal(t, a, again)
	})
}
