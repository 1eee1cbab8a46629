package risk

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"hardtack/route/plan"
)

// Four ports and the way from each: the three ahead at ln-prices (ln 1.5,
// 0.15), (ln 1.2, 0.25), (ln 2.4, 0.2), found with 0.95, 0.6, 0.9, and 4.00 for
// going without. What is eaten after the last is worth 1.5136 at the first,
// what is eaten on the way to the second 4.00. Golabi's and Kingman's critical
// levels; the figures of route/chance.
func TestTheLadderIsTheCriticalLevels(t *testing.T) {
	t.Parallel()
	days := []float64{400, 400, 400, 400, 400}
	it := plan.Item{ID: "rice", Yield: 1, Litres: 1, Kg: 1, Keeps: []plan.Keep{{Space: "dry", Days: days}}}
	b := plan.Brief{Version: 1, Currency: "EUR", Start: "2027-05-29", Stowage: plan.Stowage{Spaces: []plan.Space{{ID: "dry", Litres: 100}}}}
	ahead := []struct{ median, sd, found float64 }{{1, 0, 1}, {1.5, 0.15, 0.95}, {1.2, 0.25, 0.6}, {2.4, 0.2, 0.9}}
	for s := range 5 {
		b.Stops = append(b.Stops, plan.Stop{Port: string(rune('A' + s)), Arrive: float64(10 * s), Depart: float64(10 * s)})
		if s < 4 {
			it.Offers = append(it.Offers, plan.Offer{Stop: s, Pack: 1, Price: ahead[s].median * math.Exp(ahead[s].sd*ahead[s].sd/2)})
		}
	}
	b.Needs = []plan.Need{{ID: "grain", Unit: "kg", UseInPort: make([]float64, 5), UseAtSea: []float64{1, 1, 1, 1}, MissingCost: 4, Items: []plan.Item{it}}}
	d := sure(b)
	for s, a := range ahead {
		d.Needs[0].Items[0].Stops[s] = OfferDoubt{a.sd, a.found}
	}
	rungs, err := Ladder(b, d, "rice", 0)
	require.NoError(t, err)
	require.Len(t, rungs, 4)
	require.Equal(t, 4.0, rungs[0].UpTo)
	require.True(t, rungs[0].Without)
	require.InDelta(t, 1.51359723, rungs[3].UpTo, 1e-8)
	require.InDelta(t, 10, rungs[3].Amount, 1e-9)
	for k := range 3 {
		require.GreaterOrEqual(t, rungs[k].UpTo, rungs[k+1].UpTo, "the sooner it is eaten, the more it is worth")
	}
	_, err = Ladder(b, d, "bread", 0)
	require.ErrorIs(t, err, ErrInput)
	_, err = Ladder(b, d, "rice", 4)
	require.ErrorIs(t, err, ErrInput, "nothing is carried away from the last stop")
}
