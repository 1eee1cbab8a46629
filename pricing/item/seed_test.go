package item

import (
	"testing"

	"github.com/stretchr/testify/require"

	"hardtack/seed"
)

func catalogue(t *testing.T) *Catalogue {
	t.Helper()
	c, err := Load(seed.FS)
	require.NoError(t, err)
	return c
}

// kcalPerDay is the energy of a group's daily use as its needs' first
// alternates give it.
func kcalPerDay(c *Catalogue, groups ...string) float64 {
	sum := 0.0
	for _, n := range c.Needs {
		for _, g := range groups {
			if n.Group == g {
				sum += n.PerPersonDay * c.Kcal(n)
			}
		}
	}
	return sum
}

// The groups of the published use table and its sum, 2,638.6 kcal a day:
// judgement of the trade, energies from SR28.
func TestDefaultUseFeedsAnAdult(t *testing.T) {
	t.Parallel()
	c := catalogue(t)
	published := kcalPerDay(c, "starch_dry", "bread_crackers", "breakfast_cereal", "pulses_dry_equiv", "veg_tinned",
		"veg_fresh_gross", "fruit_fresh_gross", "eggs", "milk_equiv", "cheese", "fats_oils", "meat_fish", "nuts_driedfruit",
		"sugar_spreads", "sweet_snacks", "juice_cordial", "tea_coffee", "condiments")
	require.InEpsilon(t, 2638.6, published, 0.03)

	added := kcalPerDay(c, "flour_baking", "raising", "salty_snacks", "soft_drinks", "alcohol", "seasoning", "salt", "soups")
	require.Less(t, added, 220.0)

	// FAO/WHO/UNU (2004) with Schofield's equations: PAL 1.75, man of 80 kg
	// and woman of 65 kg, both 30–60 years: 3134 and 2404 kcal (derived).
	require.InEpsilon(t, (3134.0+2404.1)/2, published+added, 0.05)
}

func TestEverySeedItemIsWhole(t *testing.T) {
	t.Parallel()
	c := catalogue(t)
	require.GreaterOrEqual(t, len(c.Order), 255)
	require.Len(t, c.Items, len(c.Order))
	for _, id := range c.Order {
		i := c.Items[id]
		require.Contains(t, i.Packs, i.ListPack, id)
		require.Len(t, i.PackLabels, len(i.Packs), id)
		require.NotEmpty(t, i.PackLabel(i.ListPack), id)
	}
}
