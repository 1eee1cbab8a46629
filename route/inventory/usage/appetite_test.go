package usage

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"hardtack/pricing/item"
	"hardtack/pricing/measure"
)

// The five states of C. Hachemeister's bodily injury claims (1975), as the
// credibility package of R prints them (weights and variances from memory):
// within 139,120,026, between 89,639.
func TestCredibilityOfHachemeistersStates(t *testing.T) {
	t.Parallel()
	const within, between, collective = 139_120_026, 89_639, 1683.713
	for _, s := range []struct{ weight, mean, z, premium float64 }{
		{100_155, 2060.921, 0.9847, 2055.165}, {19_895, 1511.224, 0.9276, 1523.706}, {13_735, 1805.843, 0.8985, 1793.444},
		{4_152, 1352.976, 0.7279, 1442.967}, {36_110, 1599.829, 0.9588, 1603.285},
	} {
		z := Credibility(s.weight, within/between)
		require.InDelta(t, s.z, z, 5e-5)
		require.InDelta(t, s.premium, collective+z*(s.mean-collective), 0.01)
	}
}

// larder is a catalogue of so many kinds of food, all on the list at 0.4 kg.
func larder(n int) *item.Catalogue {
	c := &item.Catalogue{}
	for k := range n {
		id := fmt.Sprint("food", k)
		c.Groups = append(c.Groups, item.Group{ID: id, CV: 0.45})
		c.Needs = append(c.Needs, item.Need{
			ID: id, Name: id, Group: id, Share: 1, Unit: measure.Kilogram, PerPersonDay: 0.4, Class: item.Staple, Appetite: item.Food,
		})
	}
	return c
}

// gains is how far the learned rates of made-up crews are from the true ones,
// beside what is learned need by need: of half the food, counted on two
// passages, and of the other half, never counted.
func gains(appetite float64) (pooled, alone, guessed, list float64) {
	cat := larder(12)
	const many = 60
	for seed := range uint64(many) {
		r := rand.New(rand.NewPCG(seed, 9))
		hunger := lognormal(r, 1, appetite)
		truth, records := map[string]float64{}, []Record{}
		for k, n := range cat.Needs {
			truth[n.ID] = n.PerPersonDay * hunger * lognormal(r, 1, math.Sqrt(0.45*0.45-appetite*appetite))
			for range 2 * (1 - k%2) {
				days := 40 + 60*r.Float64()
				records = append(records, Record{
					Need: n.ID, From: 1, To: 20, PersonDays: days, Used: days * lognormal(r, truth[n.ID], 0.25),
				})
			}
		}
		both, own := RatesOf(cat, records, 20), learnAlone(cat, tripsOf(records, 20))
		for k, n := range cat.Needs {
			off := func(x float64) float64 { return math.Abs(math.Log(x/truth[n.ID])) / (many * 6) }
			if k%2 == 0 {
				pooled += off(both[n.ID].Mean())
				alone += off(own[n.ID].Mean())
				continue
			}
			guessed += off(both[n.ID].Mean())
			list += off(n.PerPersonDay)
		}
	}
	return pooled, alone, guessed, list
}

// What a crew eats of one thing says something of another, as far as crews
// differ in appetite at all; where they do not, next to nothing is lost.
func TestAppetiteIsPooled(t *testing.T) {
	t.Parallel()
	for _, tt := range []struct{ appetite, uncounted, counted float64 }{{0.3, 0.92, 1.0}, {0.2, 0.97, 1.005}, {0, 1.03, 1.01}} {
		pooled, alone, guessed, list := gains(tt.appetite)
		t.Logf("| %.1f | %.3f | %.3f | %.3f | %.3f |", tt.appetite, alone, pooled, list, guessed)
		require.Less(t, guessed/list, tt.uncounted, "uncounted, appetite differing by %g", tt.appetite)
		require.Less(t, pooled/alone, tt.counted, "counted, appetite differing by %g", tt.appetite)
	}
}

func TestAppetiteInWords(t *testing.T) {
	t.Parallel()
	cat := larder(4)
	require.Empty(t, AppetiteOf(cat, nil, 20).Words())
	var records []Record
	for _, n := range cat.Needs[:3] {
		records = append(records, Record{Need: n.ID, From: 1, To: 20, PersonDays: 200, Used: 200 * 0.6})
	}
	a := AppetiteOf(cat, records, 20)
	require.Equal(t, 3, a.Needs)
	require.Greater(t, a.Factor, 1.1)
	require.Contains(t, a.Words(), "3 things counted")
	rates := RatesOf(cat, records, 20)
	require.Greater(t, rates["food3"].Mean(), 0.44, "never counted, but of a hungry crew")
	require.Zero(t, rates["food3"].Trips)
	require.Len(t, rates.Lines(cat, Season{PersonDays: 100}), 3, "what was not counted is not told as learned")
}

// Whatever was counted: an appetite lies between the list and the counts, is
// trusted the more the more was counted, and says nothing of its own group.
func TestAppetiteLaws(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		var tastes []taste
		low, high := 1., 1.
		for k := range rapid.IntRange(0, 6).Draw(t, "needs") {
			x := taste{fmt.Sprint(k), rapid.Float64Range(0.3, 3).Draw(t, "ratio"), rapid.Float64Range(0.1, 10).Draw(t, "weight")}
			tastes = append(tastes, x)
			low, high = min(low, x.ratio), max(high, x.ratio)
		}
		a := appetite(tastes, "")
		require.GreaterOrEqual(t, a.Factor, low-1e-9)
		require.LessOrEqual(t, a.Factor, high+1e-9)
		require.LessOrEqual(t, a.SD, appetiteSpread)
		less := appetite(tastes, "0")
		require.LessOrEqual(t, less.Trust, a.Trust+1e-12)
		if len(tastes) == 1 {
			require.Equal(t, 1.0, less.Factor)
		}
	})
}
