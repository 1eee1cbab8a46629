package estimate

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"

	"hardtack/pricing"
)

// In one group of islands one ship brings it all: what a neighbour did not
// find is scarcer here too, in a port of another group it is not.
func TestIslandsShareTheirShip(t *testing.T) {
	t.Parallel()
	in := shop(t, 100)
	in.Ports = append(in.Ports, Port{ID: "PTFNC", Country: "PT"})
	at := map[pricing.PortID]float64{"PTHOR": 0, "PTPDL": 140, "PTFNC": 600, "CVMIN": 1300}
	in.Apart = func(a, b pricing.PortID) (float64, bool) {
		d := at[a] - at[b]
		return max(d, -d), true
	}
	priced(&in, 3)
	before := Fit(in)
	for n := range 6 {
		in.Reports = append(in.Reports, pricing.Report{
			ID: idOf(700 + n), Port: "PTHOR", Item: "milk", Day: 98, Found: pricing.FoundNone, Reporter: fmt.Sprint("n", n), Source: pricing.Shelf,
		})
	}
	after := Fit(in)
	drop := func(p pricing.PortID) float64 {
		return before.At(p, "milk", 100).Available - after.At(p, "milk", 100).Available
	}
	require.Greater(t, drop("PTHOR"), drop("PTPDL"))
	require.Greater(t, drop("PTPDL"), drop("PTFNC")+0.1)
	in.Apart = nil
	require.Greater(t, Fit(in).At("PTPDL", "milk", 100).Available, after.At("PTPDL", "milk", 100).Available+0.1)
}

func TestIslandGroupsAreChains(t *testing.T) {
	t.Parallel()
	in := Input{Ports: []Port{{ID: "a", Country: "X"}, {ID: "b", Country: "X"}, {ID: "c", Country: "X"}, {ID: "d", Country: "X"}, {ID: "e", Country: "Y"}, {ID: "f", Country: "X"}}}
	at := map[pricing.PortID]float64{"a": 0, "b": 250, "c": 125, "d": 900, "e": 125, "f": 1000}
	in.Apart = func(a, b pricing.PortID) (float64, bool) { d := at[a] - at[b]; return max(d, -d), true }
	require.Equal(t, []int32{0, 0, 0, 3, -1, 3}, newIndex(&in).islandGroups(), "c joins a and b, e is of another country")
}
