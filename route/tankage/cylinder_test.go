package tankage

import (
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"hardtack/route/inventory/usage"
	"hardtack/route/logbook"
	"hardtack/route/vessel"
)

func TestASwapChangesTheCylinders(t *testing.T) {
	t.Parallel()
	two := []vessel.Cylinder{{Kg: 6, Full: 0.3}, {Kg: 6, Full: 1}}
	require.Equal(t, []vessel.Cylinder{{Kg: 6, Full: 1}, {Kg: 6, Full: 0}}, Swap(two, 6))
	require.Equal(t, 0.3, two[0].Full, "what it was given stays")
	require.Equal(t, []vessel.Cylinder{{Kg: 2.7, Full: 1}, {Kg: 6}, {Kg: 6, Full: 1}},
		Swap([]vessel.Cylinder{{Kg: 6, Full: 1}, {Kg: 2.7, Full: 1}, {Kg: 6, Full: 1}}, 2.7), "the one of that size")
	require.Equal(t, []vessel.Cylinder{{Kg: 9, Full: 1}}, Swap([]vessel.Cylinder{{Kg: 6}}, 9), "given for another ashore")
	require.Empty(t, Swap(nil, 6))
	require.Equal(t, []vessel.Cylinder{{Kg: 6, Full: 1}, {Kg: 6, Full: 1}}, Fill(Swap(two, 6), 6), "filled: the empty one")
	require.Equal(t, []vessel.Cylinder{{Kg: 6, Full: 1}, {Kg: 6, Full: 1}}, Fill([]vessel.Cylinder{{Kg: 6, Full: 0.5}, {Kg: 6}}, 99), "no more than they hold")
}

func TestTheCylinderInUseEmpties(t *testing.T) {
	t.Parallel()
	log := []logbook.Entry{entry(0, logbook.GasSwap, 6)}
	b := Gas(log, four, start, 0.05, 0.3)
	full := []vessel.Cylinder{{Kg: 6, Full: 1}, {Kg: 6, Full: 1}}
	require.InDelta(t, 6-4*10*b.Mean(), 6*Now(full, log, four, start+10, b)[0].Full, 1e-9)
	require.Zero(t, Now(full, log, four, start+400, b)[0].Full, "not below nothing")
	weighed := []vessel.Cylinder{{Kg: 6, Full: 0.4}}
	require.Equal(t, weighed, Now(weighed, log, four, start+10, b), "somebody has weighed it since")
	require.Equal(t, full, Now(full, nil, four, start, b))
}

// Whatever is swapped and filled: no cylinder holds less than nothing or more
// than it can, and a swap ends with the amount told at the burner.
func TestCylinderLaws(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		var cs []vessel.Cylinder
		for range rapid.IntRange(1, 4).Draw(t, "cylinders") {
			cs = append(cs, vessel.Cylinder{Kg: rapid.Float64Range(1, 14).Draw(t, "kg"), Full: rapid.Float64Range(0, 1).Draw(t, "full")})
		}
		for range rapid.IntRange(1, 6).Draw(t, "acts") {
			kg := rapid.Float64Range(0.1, 14).Draw(t, "amount")
			was, n := vessel.Vessel{Cylinders: cs}.GasKg(), len(cs)
			if rapid.Bool().Draw(t, "swap") {
				cs = Swap(cs, kg)
				require.InDelta(t, kg, cs[0].Kg*cs[0].Full, 1e-9)
			} else {
				cs = Fill(cs, kg)
				require.LessOrEqual(t, vessel.Vessel{Cylinders: cs}.GasKg(), was+kg+1e-9)
			}
			require.Len(t, cs, n)
			for _, c := range cs {
				require.True(t, c.Full >= 0 && c.Full <= 1+1e-12, "%v", c)
			}
		}
		require.GreaterOrEqual(t, vessel.Vessel{Cylinders: Now(cs, nil, nil, start, usage.Belief{})}.GasKg(), 0.0)
	})
}
