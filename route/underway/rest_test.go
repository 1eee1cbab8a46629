package underway

import (
	"testing"

	"github.com/stretchr/testify/require"

	"hardtack/route/plan"
)

// What is bought to be eaten during the stay need not come from elsewhere, and nothing
// more is sold there.
func TestShoppingDone(t *testing.T) {
	t.Parallel()
	items := func() []plan.Item {
		return []plan.Item{{ID: "bread", Yield: 1, Offers: []plan.Offer{{Stop: 0}, {Stop: 1}}}, {ID: "flour", Yield: 1.5, Offers: []plan.Offer{{Stop: 0}}}}
	}
	brief := func() plan.Brief {
		return plan.Brief{Stops: []plan.Stop{{Arrive: 0, Depart: 3}, {Arrive: 9, Depart: 9}},
			Needs: []plan.Need{{ID: "bread", UseInPort: []float64{1, 0.5}, Items: items()}, {ID: "fruit", UseInPort: []float64{0.25, 0}}}}
	}
	older := plan.Brief{Stops: []plan.Stop{{Depart: 10}, {Arrive: 20, Depart: 24}, {Arrive: 30, Depart: 30}}, Needs: []plan.Need{{ID: "bread", Items: items()}}}
	p := plan.Plan{Purchases: []plan.Purchase{
		{Stop: 1, Need: "bread", Item: "bread", EatenInPort: 1}, {Stop: 1, Need: "bread", Item: "flour", EatenInPort: 0.8},
		{Stop: 0, Need: "bread", Item: "bread", EatenInPort: 7}, {Stop: 1, Need: "bread", Item: "cake", EatenInPort: 7},
		{Stop: 1, Need: "fruit", Item: "bread", EatenInPort: 7}, {Stop: 2, Need: "bread", Item: "bread", EatenInPort: 7}}}
	for _, tt := range []struct {
		name string
		stop int
		want [2]float64 // of bread and fruit, a day
	}{
		{"2.2 kg in four days", 1, [2]float64{0.45, 0}},
		{"the first stop: 7 kg in ten days", 0, [2]float64{0.3, 0.25}},
		{"a stop of no length", 2, [2]float64{1, 0.25}},
		{"a stop the plan does not know", -1, [2]float64{1, 0.25}},
	} {
		t.Run(tt.name, func(t *testing.T) {
			b := brief()
			given := b.Needs[0].UseInPort
			ShoppingDone(&b, older, p, tt.stop)
			require.InDelta(t, tt.want[0], b.Needs[0].UseInPort[0], 1e-12)
			require.InDelta(t, tt.want[1], b.Needs[1].UseInPort[0], 1e-12)
			require.Equal(t, 0.5, b.Needs[0].UseInPort[1], "other stays are left alone")
			require.Equal(t, 1.0, given[0], "what was given is left as it was")
			require.Equal(t, []plan.Offer{{Stop: 1}}, b.Needs[0].Items[0].Offers)
			require.Empty(t, b.Needs[0].Items[1].Offers)
		})
	}
}

// A brief begins at sea when nothing is sold at its first stop and it leaves at once.
func TestUnderWay(t *testing.T) {
	t.Parallel()
	brief := func(depart float64, sold ...int) plan.Brief {
		b := plan.Brief{Stops: []plan.Stop{{Depart: depart}, {Arrive: 9, Depart: 9}}, Needs: []plan.Need{{}, {Items: []plan.Item{{}, {}}}}}
		for _, s := range sold {
			b.Needs[1].Items[1].Offers = append(b.Needs[1].Items[1].Offers, plan.Offer{Stop: s})
		}
		return b
	}
	require.True(t, UnderWay(brief(0)))
	require.True(t, UnderWay(brief(0, 1)))
	require.False(t, UnderWay(brief(0, 1, 0)))
	require.False(t, UnderWay(brief(2, 1)), "a stay with nothing sold is no passage")
}
