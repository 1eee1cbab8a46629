package pest

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"hardtack/pricing"
	"hardtack/pricing/item"
	"hardtack/pricing/measure"
	"hardtack/route/inventory"
	"hardtack/seed"
)

func catalogue(t require.TestingT) *item.Catalogue {
	c, err := item.Load(seed.FS)
	require.NoError(t, err)
	return c
}

// Published times of development (checks-domain).
func TestDevelopment(t *testing.T) {
	t.Parallel()
	for _, tt := range []struct {
		id, source, evidence string
		got, want, tolerance float64
	}{
		{"granarius_15", "Omar 2014 constants", "derived", GranariusDays(15), 111.8, 0.05},
		{"granarius_20", "Omar 2014 constants", "derived", GranariusDays(20), 56.07, 0.05},
		{"granarius_25", "Omar 2014 constants", "derived", GranariusDays(25), 37.42, 0.05},
		{"granarius_30", "Omar 2014 constants", "derived", GranariusDays(30), 28.08, 0.05},
		{"castaneum_25", "J Henan Univ Technol abstract", "read", CastaneumDays(25), 38.5, 0.1},
		{"castaneum_30", "J Henan Univ Technol abstract", "read", CastaneumDays(30), 31.7, 0.1},
		{"castaneum_35", "J Henan Univ Technol abstract", "read", CastaneumDays(35), 25.0, 0.1},
		{"spi_die_below", "Fields 1992 abstract", "read", Dies, 13, 0},
		{"spi_die_above", "Fields 1992 abstract", "read", TooHot, 35, 0},
		{"spi_optimum, low", "Fields 1992 abstract", "read", BestLow, 25, 0},
		{"spi_optimum, high", "Fields 1992 abstract", "read", BestHigh, 35, 0},
	} {
		require.InDelta(t, tt.want, tt.got, tt.tolerance, "%s (%s, %s)", tt.id, tt.source, tt.evidence)
	}
	require.True(t, math.IsInf(GranariusDays(9), 1))
	require.True(t, math.IsInf(CastaneumDays(13), 1), "ldt_beetles 14 °C (Stejskal 2019, read)")
	require.True(t, math.IsInf(CastaneumDays(40), 1))
}

func TestWarmerIsFaster(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		a := rapid.Float64Range(14.5, 34).Draw(t, "cool")
		b := a + rapid.Float64Range(0, 35-a).Draw(t, "more")
		require.LessOrEqual(t, CastaneumDays(b), CastaneumDays(a)+1e-9)
		require.LessOrEqual(t, GranariusDays(b), GranariusDays(a)+1e-9)
	})
}

func lot(id pricing.ItemID, locker string) inventory.Lot {
	return inventory.Lot{ID: string(id), Item: id, Space: "saloon", Locker: locker, Quantity: measure.One, Port: "PTHOR"}
}

func TestRiskByFoodPackAndReport(t *testing.T) {
	t.Parallel()
	c := catalogue(t)
	lots := []inventory.Lot{lot("flour_white", "a"), lot("tin_tomato", "a"), lot("rice_white", "b"), lot("toilet_paper", "a")}
	none := func(inventory.Lot) bool { return false }
	risks := Risks(lots, c, func(inventory.Lot) float64 { return 28 }, none)
	require.Len(t, risks, 2, "tins and paper rolls feed nobody")
	require.EqualValues(t, "flour_white", risks[0].Lot.Item)
	require.Contains(t, risks[0].Why.String(), "generation of flour beetles")
	seen := Risks(lots, c, func(inventory.Lot) float64 { return 28 }, func(l inventory.Lot) bool { return l.Locker == "b" })
	for _, r := range seen {
		if r.Lot.Locker == "b" {
			require.Equal(t, 3, r.Level)
			require.Contains(t, r.Do.String(), "freeze or heat")
			require.Contains(t, r.Why.String(), "pests were seen")
		}
	}
	cold := Risks(lots, c, func(inventory.Lot) float64 { return 8 }, none)
	require.Contains(t, cold[0].Why.String(), "die in time")
}

func TestNeighboursAreInspected(t *testing.T) {
	t.Parallel()
	c := catalogue(t)
	in := lot("flour_white", "a")
	near := Neighbours(in, []inventory.Lot{in, lot("pasta_short", "a"), lot("tin_tomato", "a"), lot("oats_rolled", "b")}, c)
	require.Len(t, near, 1)
	require.EqualValues(t, "pasta_short", near[0].Lot.Item)
}

// Every treatment says where it is from and what to beware of; poison never
// comes without its caution.
func TestCautionsArePresent(t *testing.T) {
	t.Parallel()
	for _, x := range Treatments() {
		require.NotEmpty(t, x.Source, x.Name)
		require.NotEmpty(t, x.Evidence, x.Name)
		require.NotEmpty(t, x.Caution, x.Name)
	}
	for _, word := range []string{"poison", "children and pets", "never in a food locker", "doctor"} {
		require.Contains(t, BaitCaution, word)
	}
	require.NotEmpty(t, Hints())
}
