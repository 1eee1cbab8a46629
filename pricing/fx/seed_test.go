package fx_test

import (
	"encoding/csv"
	"io/fs"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"hardtack/pricing/fx"
	"hardtack/pricing/money"
	"hardtack/seed"
)

func seeded(t *testing.T) fx.Rates {
	t.Helper()
	f, err := seed.FS.Open("rates.csv")
	require.NoError(t, err)
	defer f.Close()
	r, err := fx.Read(f)
	require.NoError(t, err)
	return r
}

// Pegs fixed by law or agreement, from memory: Cape Verde 1998, CFA franc
// 1999, CFP franc 1999, East Caribbean dollar 1976.
func TestSeedRatesKeepThePegs(t *testing.T) {
	t.Parallel()
	r := seeded(t)
	require.Equal(t, money.Currency("EUR"), r.Reference())
	for _, x := range r.All() {
		usd, _, err := r.Per("USD", x.Day)
		require.NoError(t, err)
		switch x.Currency {
		case "CVE":
			require.InDelta(t, 110.265, x.PerReference, 1e-9)
		case "XOF", "XAF":
			require.InDelta(t, 655.957, x.PerReference, 1e-9)
		case "XPF":
			require.InDelta(t, 1000/8.38, x.PerReference, 1e-3)
		case "XCD":
			require.InDelta(t, 2.7*usd, x.PerReference, 1e-3)
		case "DKK":
			require.InDelta(t, 7.46038, x.PerReference, 0.0225*7.46038) // band of ERM II
		}
	}
}

func TestSeedRatesServeEveryPort(t *testing.T) {
	t.Parallel()
	r := seeded(t)
	ports, err := fs.ReadFile(seed.FS, "ports.csv")
	require.NoError(t, err)
	rows, err := csv.NewReader(strings.NewReader(string(ports))).ReadAll()
	require.NoError(t, err)
	column := -1
	for k, name := range rows[0] {
		if name == "currency" {
			column = k
		}
	}
	require.GreaterOrEqual(t, column, 0)
	for _, row := range rows[1:] {
		_, _, err := r.Per(money.Currency(row[column]), 20_600)
		require.NoError(t, err, row[0])
	}
}
