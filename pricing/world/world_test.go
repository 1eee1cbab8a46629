package world

import (
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"hardtack/pricing"
	"hardtack/pricing/fx"
	"hardtack/pricing/money"
)

func small(seed uint64) Spec {
	s := Usual(seed, Kinds()["plain"])
	s.Items, s.Ports, s.Countries, s.Reports = 40, 20, 8, 3000
	return s
}

func TestASpecGivesOneWorld(t *testing.T) {
	t.Parallel()
	a, b := Invent(small(1)), Invent(small(1))
	require.Equal(t, a.Reports, b.Reports)
	require.Equal(t, a.Pairs, b.Pairs)
	require.NotEqual(t, a.Reports, Invent(small(2)).Reports)
	require.Len(t, a.Pairs, 40*20)
}

// A world without the lies is the same but for the prices of the liars.
func TestHonestTwinsDifferInTheLiesAlone(t *testing.T) {
	t.Parallel()
	s := small(3)
	s.Liars, s.Wild = 0.2, true
	lied := Invent(s)
	s.Honest = true
	honest := Invent(s)
	require.Equal(t, lied.Pairs, honest.Pairs)
	require.Len(t, honest.Reports, len(lied.Reports))
	require.Empty(t, honest.Lied)
	require.NotEmpty(t, lied.Lied)
	for k, r := range lied.Reports {
		h := honest.Reports[k]
		if lied.Lied[r.ID] {
			factor := r.Paid.Float() / h.Paid.Float()
			require.Greater(t, factor, 1.45, r.ID)
			require.Less(t, factor, 10.3, r.ID)
			h.Paid = r.Paid
		}
		require.Equal(t, h, r)
	}
}

// The shares asked for are about those there are, and nobody reports from the
// quiet countries.
func TestAWorldIsAsAskedFor(t *testing.T) {
	t.Parallel()
	w := Invent(small(4))
	prices, none, words := 0.0, 0.0, 0.0
	country := map[pricing.PortID]string{}
	for _, p := range w.Ports {
		country[p.ID] = p.Country
	}
	for _, r := range w.Reports {
		require.NotContains(t, []string{"XA", "XB"}, country[r.Port])
		require.LessOrEqual(t, r.Day, w.Day)
		switch r.Found {
		case pricing.FoundYes:
			prices++
			require.Positive(t, r.Paid.Minor)
		case pricing.FoundNone:
			none++
		default:
			words++
		}
	}
	all := prices + none + words
	require.InDelta(t, w.None, none/all, 0.02)
	require.InDelta(t, w.Vague, words/all, 0.02)
	require.InDelta(t, w.Slips, float64(len(w.Slipped))/prices, 0.012)
	seen := 0
	for _, p := range w.Pairs {
		require.False(t, math.IsNaN(p.Log+p.Receipt))
		if p.Seen {
			seen++
		}
	}
	require.Greater(t, seen, 100)
}

// Told one by one, the reports are those of the same world.
func TestAWorldToldOneByOneIsTheSame(t *testing.T) {
	t.Parallel()
	all := map[string]pricing.Report{}
	told := Tell(small(5), func(r pricing.Report) { all[r.ID] = r })
	whole := Invent(small(5))
	require.Nil(t, told.Reports)
	require.Len(t, all, len(whole.Reports))
	for _, r := range whole.Reports {
		require.Equal(t, r, all[r.ID])
	}
	require.Equal(t, whole.Pairs, told.Pairs)
}

// Of known places and goods only the prices are invented.
func TestKnownPlacesKeepTheirNamesAndMoney(t *testing.T) {
	t.Parallel()
	rates, err := fx.New("EUR", []fx.Rate{{Currency: "CVE", Day: 1, PerReference: 110.265}})
	require.NoError(t, err)
	s := Usual(6, Kinds()["devalued"])
	s.Reports, s.QuietPorts, s.QuietCountries = 4000, 0, 0
	s.Known = &Known{
		Rates: rates,
		Ports: []Port{
			{ID: "PTHOR", Country: "PT", Latitude: 38.5, Longitude: -28.6, Currency: "EUR"},
			{ID: "CVMIN", Country: "CV", Latitude: 16.9, Longitude: -25, Currency: "CVE"},
		},
		Items: []Item{
			{ID: "rice", Category: "staple", Unit: "kg", ListPack: 1_000_000, Price: 2},
			{ID: "wine", Category: "drink", Unit: "L", ListPack: 750_000, Price: 8},
		},
	}
	w := Invent(s)
	require.Equal(t, s.Known.Ports, w.Ports)
	require.Len(t, w.Pairs, 4)
	sum := map[pricing.ItemID][]float64{}
	for _, r := range w.Reports {
		if r.Found != pricing.FoundYes {
			continue
		}
		require.Equal(t, map[pricing.PortID]money.Currency{"PTHOR": "EUR", "CVMIN": "CVE"}[r.Port], r.Paid.Currency)
		eur, err := rates.InReference(r.Paid, r.Day)
		require.NoError(t, err)
		sum[r.Item] = append(sum[r.Item], eur/r.Pack.Units())
	}
	for item, want := range map[pricing.ItemID]float64{"rice": 2, "wine": 8} {
		slices.Sort(sum[item])
		middle := sum[item][len(sum[item])/2]
		require.Greater(t, middle, want/3, item)
		require.Less(t, middle, want*3, item)
	}
	latitude, longitude := placed(38.5, -28.6).degrees()
	require.InDeltaSlice(t, []float64{38.5, -28.6}, []float64{latitude, longitude}, 1e-9)
}
