package brief

import (
	"testing"

	"github.com/stretchr/testify/require"

	"hardtack/pricing"
	"hardtack/pricing/item"
	"hardtack/route"
	"hardtack/route/plan"
	"hardtack/route/port"
	"hardtack/route/vessel"
	"hardtack/seed"
)

// crossing is a couple from Las Palmas to Martinique on the seed's catalogue,
// ports and rules, without a single report: every price is a guess.
func crossing(t *testing.T) Input {
	t.Helper()
	cat, err := item.Load(seed.FS)
	require.NoError(t, err)
	ports, err := port.Load(seed.FS)
	require.NoError(t, err)
	rules, err := port.LoadRules(seed.FS)
	require.NoError(t, err)
	in := input()
	in.Catalogue, in.Ports, in.Rules = cat, ports, rules
	in.Itinerary = route.Itinerary{
		Start: day("2026-11-20"),
		Calls: []route.Call{
			{Stop: route.Stop{Port: "ESLPA"}, Depart: 7},
			{Stop: route.Stop{Port: "x-le-marin"}, Arrive: 27, Depart: 34},
		},
		Ways: []route.Way{{DistanceNM: 2650, MedianDays: 20, Days90: 25.8, Ocean: true}},
	}
	in.Prices = pricing.NewTable("EUR", day("2026-11-01"))
	for _, c := range in.Itinerary.Calls {
		for id, i := range cat.Items {
			in.Prices.Set(c.Port, id, pricing.Estimate{
				Price: i.BasePrice, LogSD: i.BaseLogSD, Available: 0.9, Basis: pricing.BasisGuess,
			})
		}
	}
	return in
}

func TestSeedServesEveryNeed(t *testing.T) {
	t.Parallel()
	b, n := build(t, crossing(t))
	for _, need := range b.Needs {
		require.NotEmpty(t, need.Items, need.ID)
		lasts := need.Reserve[0] > 0
		note, _ := n.Need(need.ID)
		require.True(t, lasts || need.UseAtSea[0] == 0 || note.Class != item.Staple,
			"nothing of %s lasts to the end of a long crossing", need.ID)
	}
}

func TestSeedFeedsTheCrew(t *testing.T) {
	t.Parallel()
	// Need by FAO/WHO/UNU 2004; the table of daily use must meet it within 15 %.
	for name, crew := range map[string]vessel.Crew{
		"a couple": couple(),
		"a vegetarian among them": {Persons: []vessel.Person{
			{ID: "a", Age: 40, Sex: vessel.Female, NotEating: []string{"vegetarian"}}, {ID: "b", Age: 42, Sex: vessel.Male},
		}},
		"a family": {Persons: []vessel.Person{
			{ID: "a", Age: 36, Sex: vessel.Female}, {ID: "b", Age: 38, Sex: vessel.Male}, {ID: "c", Age: 5}, {ID: "d", Age: 2},
		}},
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			in := crossing(t)
			in.Crew = crew
			b, n := build(t, in)
			need, days := boardNeed(n, crew, in.Itinerary, func(p vessel.Person) float64 { return p.EnergyNeed(0) })
			require.InEpsilon(t, need, kcalUsed(b, n)/days, 0.15)
		})
	}
}

// kcalUsed is the energy of all that is used, each need by the mean of its items.
func kcalUsed(b plan.Brief, n Notes) float64 {
	sum := 0.0
	for _, need := range b.Needs {
		kcal := 0.0
		for _, it := range need.Items {
			note, _ := n.Item(it.ID)
			kcal += note.Kcal * (1 - note.LossPart) / it.Yield / float64(len(need.Items))
		}
		sum += total(b, need) * kcal
	}
	return sum
}

func TestSeedTanksBeforeJugs(t *testing.T) {
	t.Parallel()
	b, _ := build(t, crossing(t))
	water := needOf(t, b, "water")
	ids := map[string]bool{}
	for _, it := range water.Items {
		ids[it.ID] = true
	}
	require.True(t, ids["water_tank"] && ids["water_5l"])
	gas := needOf(t, b, "gas")
	for _, it := range gas.Items {
		require.InDelta(t, it.Yield, it.Kg, 1e-9, "only the gas counts: the cylinder is always aboard")
		require.Contains(t, []string{"lpg", "lpg_907"}, it.ID, "a 9 kg cylinder is neither a small one")
	}
}
