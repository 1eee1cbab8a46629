package brief

import (
	"testing"

	"github.com/stretchr/testify/require"

	"hardtack/route/plan"
)

// Worked by hand: 4 kg of rice bought at the first stop, 1 kg eaten on the first leg, 1 kg in the second
// stay; it takes 2 litres a kilogram, 3 meals each, and keeps 11 days from day 2.
func TestLevelsByHand(t *testing.T) {
	t.Parallel()
	b := plan.Brief{
		Stops:   []plan.Stop{{Arrive: 0, Depart: 2}, {Arrive: 7, Depart: 10}, {Arrive: 14, Depart: 20}},
		Stowage: plan.Stowage{Spaces: []plan.Space{{ID: "dry", Litres: 40}, {ID: "cool", Litres: 10}}},
		Needs: []plan.Need{{ID: "starch", Items: []plan.Item{{
			ID: "rice", Yield: 3, Litres: 2, Keeps: []plan.Keep{{Space: "dry", Days: []float64{11, 11, 11}}},
		}}}},
	}
	p := plan.Plan{
		Purchases: []plan.Purchase{{ID: "p0", Need: "starch", Item: "rice", Pack: 1, Packs: 4, Stowed: []plan.Stowed{{Space: "dry", Amount: 4}}}},
		Draws: []plan.Draw{
			{Need: "starch", Item: "rice", Lot: "p0", Space: "dry", Period: "leg 0", Amount: 1},
			{Need: "starch", Item: "rice", Lot: "p0", Space: "dry", Period: "stay 1", Amount: 1},
		},
	}
	levels := LevelsOf(b, p)
	require.Equal(t, Level{Space: "dry", Room: 40, Leaving: []float64{8, 4, 0}, Arriving: []float64{0, 6, 0}}, levels[0])
	require.Equal(t, Level{Space: "cool", Room: 10, Leaving: []float64{0, 0, 0}, Arriving: []float64{0, 0, 0}}, levels[1])
	require.Equal(t, Stock{
		Leaving: []float64{12, 6, 0}, Arriving: []float64{0, 9, 0}, UseBy: []UseBy{{"rice", 13, 6}},
	}, StockOf(b, p, "starch"), "two kilograms are left on the leg on which it goes off")

	b.Needs[0].Items[0].SurrenderedAt = []int{1}
	require.Equal(t, []float64{8, 0, 0}, LevelsOf(b, p)[0].Leaving, "taken away on arrival at the second stop")
	require.Equal(t, 6.0, LevelsOf(b, p)[0].Arriving[1])
	require.Empty(t, StockOf(b, p, "starch").UseBy)
}
