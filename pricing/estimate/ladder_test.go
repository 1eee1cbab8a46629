package estimate

import (
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"hardtack/pricing/world"
)

// The model against the simple habits, over worlds it is true of and worlds
// that break it: mean ratio of log errors to the best habit's.
func TestTheModelBeatsSimpleHabits(t *testing.T) {
	t.Parallel()
	ratio, coverage, pairs := map[string]float64{}, map[string]float64{}, map[string]float64{}
	kinds := world.Kinds()
	for _, name := range []string{"plain", "tastes", "devalued", "seasons", "jumps", "neighbour", "outlets"} {
		s := spec(3, 120, 40, 14, 5000)
		s.Truth, s.QuietPorts, s.QuietCountries = kinds[name], 3, 2
		w := invent(s)
		for _, p := range Against(w.Input, w.known).Parts {
			require.Less(t, p.Ratio, 1.0, "%s: %s", name, p.Name)
			require.Less(t, p.CRPSRatio, 1.0, "%s: %s", name, p.Name)
			ratio[p.Name] += p.Ratio / float64(len(kinds))
			coverage[p.Name] += p.Scores[0].Coverage * float64(p.Pairs)
			pairs[p.Name] += float64(p.Pairs)
		}
	}
	require.Less(t, ratio["all"], 0.8)
	require.Less(t, ratio[stratumNames[seenCell]], 0.75)
	require.Less(t, ratio[stratumNames[unseen]], 0.93) // of two countries in one draw
	// The ports of one world err together, so that its strata may be further off.
	for _, name := range stratumNames[:2] {
		require.InDelta(t, 0.8, coverage[name]/pairs[name], 0.045, name)
	}
}

// Reporters who lie, by 1.5 to 10: of all pairs, 95 in 100 shift by less than
// the bound against the same world with the truth told.
func TestLiarsMoveLittle(t *testing.T) {
	t.Parallel()
	for _, tt := range []struct {
		name  string
		lie   world.Faults
		bound float64
	}{
		{"two in ten always add the same", world.Faults{Liars: 0.2}, 0.05},
		{"one in ten lies differently every time", world.Faults{Liars: 0.1, Wild: true}, 0.10},
		{"two in ten reports from new accounts", world.Faults{Swarm: 0.2}, 0.12},
	} {
		t.Run(tt.name, func(t *testing.T) {
			t.Parallel()
			s := spec(1, 100, 25, 9, 3500)
			s.Faults = tt.lie
			lied := invent(s)
			s.Honest = true
			require.Less(t, shift(lied, invent(s), 0.95), tt.bound)
		})
	}
}

// shift is a quantile of how far the estimates of two worlds are apart.
func shift(a, b *invented, quantile float64) float64 {
	x, y := Fit(a.Input), Fit(b.Input)
	var shifts []float64
	for _, k := range a.known {
		shifts = append(shifts, math.Abs(math.Log(x.At(k.Port, k.Item, k.Day).Price/y.At(k.Port, k.Item, k.Day).Price)))
	}
	slices.Sort(shifts)
	return shifts[int(quantile*float64(len(shifts)))]
}

// A thousand reports of one account from one place on a few days move its cell
// no more than one does.
func TestAThousandReportsOfOneMoveNoMoreThanOne(t *testing.T) {
	t.Parallel()
	moved := func(n int) float64 {
		in := shop(t, 100)
		priced(&in, 3)
		before := Fit(in).At("PTHOR", "rice", 100).Price
		for k := range n {
			r := *bought(1.8, 0.5)
			r.ID, r.Reporter, r.Day = idOf(1000+k), "flood", 99
			in.Reports = append(in.Reports, r)
		}
		return math.Log(Fit(in).At("PTHOR", "rice", 100).Price / before)
	}
	one, many := moved(1), moved(1000)
	require.Greater(t, one, 0.0)
	require.Less(t, many, one+0.01)
}

// Four fifths of the slips are of a factor of 5 or more.
func TestMostSlipsAreCaught(t *testing.T) {
	t.Parallel()
	s := spec(2, 120, 36, 12, 4000)
	s.Slips = 0.03
	w := invent(s)
	held := map[string]bool{}
	honest := 0.0
	for _, q := range Fit(w.Input).Questioned() {
		held[q.Report] = true
		if w.world.Slipped[q.Report] == 0 {
			honest++
		}
	}
	var caught, big, bigCaught float64
	for id, log := range w.world.Slipped {
		hit := 0.0
		if held[id] {
			hit = 1
		}
		caught += hit
		if math.Abs(log) >= math.Log(5) {
			big++
			bigCaught += hit
		}
	}
	t.Logf("caught %.3f, big %.3f", caught/float64(len(w.world.Slipped)), bigCaught/big)
	require.Greater(t, caught/float64(len(w.world.Slipped)), 0.85)
	require.Greater(t, bigCaught/big, 0.95)
	require.Less(t, honest/float64(len(w.Reports)), 0.015)
}
