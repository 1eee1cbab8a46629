package instance

import (
	"encoding/json"
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"

	"hardtack/route/plan"
)

func TestRandomBriefsAreWellFormed(t *testing.T) {
	t.Parallel()
	for size, seeds := range map[Size]uint64{Tiny: 300, Small: 100, Season: 20, Big: 3} {
		for seed := range seeds {
			for _, tight := range []bool{false, true} {
				require.NoError(t, Random(seed, size, tight).Check(), "%v %d tight %v", size, seed, tight)
			}
		}
	}
}

func TestRandomIsAFunctionOfItsArguments(t *testing.T) {
	t.Parallel()
	require.Equal(t, Random(7, Season, true), Random(7, Season, true))
	require.NotEqual(t, Random(7, Small, false), Random(8, Small, false))
}

func TestSizes(t *testing.T) {
	t.Parallel()
	for size, want := range shapes {
		t.Run(fmt.Sprint(Size(size)), func(t *testing.T) {
			t.Parallel()
			b := Random(1, Size(size), false)
			require.Len(t, b.Needs, want.Needs)
			require.Len(t, b.Stops, want.Stops)
			require.InEpsilon(t, want.Days, b.Stops[want.Stops-1].Depart, 0.05)
			with := 0
			for _, n := range b.Needs {
				if len(n.Items) > 1 {
					with++
				}
			}
			require.Equal(t, want.Alternates, with)
		})
	}
}

// A tight brief differs from the loose one of its seed in stowage alone.
func TestTightHalvesTheRoom(t *testing.T) {
	t.Parallel()
	for seed := range uint64(20) {
		loose, tight := Random(seed, Season, false), Random(seed, Season, true)
		for i, s := range tight.Stowage.Spaces {
			require.InDelta(t, loose.Stowage.Spaces[i].Litres/2, s.Litres, 0.11, "seed %d %s", seed, s.ID)
		}
		require.NotNil(t, tight.Stowage.PayloadKg)
		tight.Stowage, loose.Stowage = plan.Stowage{}, plan.Stowage{}
		require.Equal(t, loose, tight)
	}
}

// Among 20 season briefs everything the contract can say occurs.
func TestSeasonsUseTheWholeContract(t *testing.T) {
	t.Parallel()
	seen := map[string]bool{}
	for seed := range uint64(20) {
		data, err := json.Marshal(Random(seed, Season, true))
		require.NoError(t, err)
		var b map[string]any
		require.NoError(t, json.Unmarshal(data, &b))
		collect(b, seen)
	}
	for _, field := range []string{"trip_carry_kg", "reserve_days", "payload_kg", "reserve", "surrendered_at", "aboard", "limit"} {
		require.True(t, seen[field], field)
	}
}

func collect(v any, seen map[string]bool) {
	switch v := v.(type) {
	case map[string]any:
		for name, x := range v {
			seen[name] = true
			collect(x, seen)
		}
	case []any:
		for _, x := range v {
			collect(x, seen)
		}
	}
}

// Two stops with a leg of 4 days: 2 a day of what is half as dear at stop 0.
// All 8 are carried over the leg; those of stay 1 too when it lasts.
func TestHoldingsByHand(t *testing.T) {
	t.Parallel()
	b := plan.Brief{Stops: []plan.Stop{{Depart: 1}, {Arrive: 5, Depart: 7}},
		Needs: []plan.Need{{UseInPort: []float64{1, 1}, UseAtSea: []float64{2}, Items: []plan.Item{{
			Yield: 1, Litres: 3, Kg: 0.5, Keeps: []plan.Keep{{Space: "dry", Days: []float64{4, 4}}},
			Offers: []plan.Offer{{Stop: 0, Pack: 1, Price: 1}, {Stop: 1, Pack: 1, Price: 2}}}}}}}
	h := holdings(b)
	require.Equal(t, []float64{24}, h.litres["dry"])
	require.Equal(t, []float64{4}, h.kg)
	b.Needs[0].Items[0].Keeps[0].Days[0] = 6
	require.Equal(t, []float64{30}, holdings(b).litres["dry"])
	b.Needs[0].Items[0].SurrenderedAt = []int{1}
	require.Equal(t, []float64{24}, holdings(b).litres["dry"])
}
