package fx

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"hardtack/pricing/calendar"
	"hardtack/pricing/money"
	"hardtack/pricing/sheet"
)

func day(s string) calendar.Day {
	d, err := calendar.Parse(s)
	if err != nil {
		panic(err)
	}
	return d
}

const file = `currency,day,per_reference
EUR,2026-01-01,1
GBP,2026-06-01,0.85
GBP,2026-01-01,0.80
CVE,2026-01-01,110.265
`

func TestTheNewestRateHolds(t *testing.T) {
	t.Parallel()
	r, err := Read(strings.NewReader(file))
	require.NoError(t, err)
	require.Equal(t, money.Currency("EUR"), r.Reference())
	require.Equal(t, []money.Currency{"CVE", "EUR", "GBP"}, r.Currencies())
	for _, tt := range []struct {
		name, on, of string
		per          float64
	}{
		{"before the first, the first", "2025-01-01", "2026-01-01", 0.80},
		{"on the day", "2026-01-01", "2026-01-01", 0.80},
		{"the day before the next", "2026-05-31", "2026-01-01", 0.80},
		{"on the day of the next", "2026-06-01", "2026-06-01", 0.85},
		{"after the last, the last", "2030-01-01", "2026-06-01", 0.85},
	} {
		per, of, err := r.Per("GBP", day(tt.on))
		require.NoError(t, err, tt.name)
		require.InDelta(t, tt.per, per, 0, tt.name)
		require.Equal(t, day(tt.of), of, tt.name)
	}
	_, _, err = r.Per("USD", day("2026-01-01"))
	require.ErrorIs(t, err, ErrNoRate)
	x, err := r.InReference(money.Amount{Minor: 22053, Currency: "CVE"}, day("2026-01-01"))
	require.NoError(t, err)
	require.InDelta(t, 2, x, 1e-12) // 220.53 CVE at 110.265
}

func TestWithLeavesTheOldRatesAlone(t *testing.T) {
	t.Parallel()
	old, err := Read(strings.NewReader(file))
	require.NoError(t, err)
	more, err := old.With([]Rate{{"GBP", day("2026-03-01"), 0.82}, {"USD", day("2026-01-01"), 1.1}, {"GBP", day("2026-01-01"), 0.79}})
	require.NoError(t, err)
	require.Len(t, old.All(), 4)
	require.Equal(t, []Rate{
		{"CVE", day("2026-01-01"), 110.265}, {"EUR", day("2026-01-01"), 1},
		{"GBP", day("2026-01-01"), 0.79}, {"GBP", day("2026-03-01"), 0.82}, {"GBP", day("2026-06-01"), 0.85},
		{"USD", day("2026-01-01"), 1.1},
	}, more.All())
	per, _, err := old.Per("GBP", day("2026-04-01"))
	require.NoError(t, err)
	require.InDelta(t, 0.80, per, 0)
	for _, bad := range []Rate{{"EUR", 1, 2}, {"GBP", 1, 0}, {"GBP", 1, -1}, {"GBP", 0, 1}, {"XYZ", 1, 1}} {
		_, err := old.With([]Rate{bad})
		require.Error(t, err, bad)
	}
}

func TestReference(t *testing.T) {
	t.Parallel()
	for _, tt := range []struct{ name, file, want string }{
		{"the only one that is always 1", "currency,day,per_reference\nUSD,2026-01-01,1\nEUR,2026-01-01,1\nEUR,2026-02-01,0.9\n", "USD"},
		{"the marked one of two", "reference,currency,day,per_reference\n,BMD,2026-01-01,1\nyes,USD,2026-01-01,1\n", "USD"},
	} {
		r, err := Read(strings.NewReader(tt.file))
		require.NoError(t, err, tt.name)
		require.Equal(t, money.Currency(tt.want), r.Reference(), tt.name)
	}
	for _, tt := range []struct{ name, file string }{
		{"two could be", "currency,day,per_reference\nBMD,2026-01-01,1\nUSD,2026-01-01,1\n"},
		{"none could be", "currency,day,per_reference\nBMD,2026-01-01,1.1\n"},
		{"two are marked", "currency,day,per_reference,reference\nBMD,2026-01-01,1,yes\nUSD,2026-01-01,1,yes\n"},
		{"the marked one is not 1", "currency,day,per_reference,reference\nBMD,2026-01-01,1.2,yes\nUSD,2026-01-01,1,\n"},
		{"no rows", "currency,day,per_reference\n"},
		{"no header", ""},
	} {
		_, err := Read(strings.NewReader(tt.file))
		require.ErrorIs(t, err, sheet.ErrRefused, tt.name)
	}
}

func TestBadRowsAreTold(t *testing.T) {
	t.Parallel()
	r, rejected, err := ReadRows(strings.NewReader(file+
		"XYZ,2026-01-01,2\nUSD,2026-02-30,2\nUSD,2026-01-01,1e0\nUSD,2026-01-01,0\n"+
		"NOK,2026-01-01,11\nNOK,2026-01-01,11.000\nSEK,2026-01-01,11\nSEK,2026-01-01,12\n"), "rates.csv")
	require.NoError(t, err)
	require.Equal(t, []money.Currency{"CVE", "EUR", "GBP", "NOK"}, r.Currencies())
	var got []string
	for _, x := range rejected {
		got = append(got, x.Column+" "+x.Found)
	}
	require.Equal(t, []string{
		"currency XYZ", "day 2026-02-30", "per_reference 1e0", "per_reference 0",
		"per_reference SEK of 2026-01-01", "per_reference SEK of 2026-01-01",
	}, got)
}
