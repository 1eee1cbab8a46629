package main

import (
	"bytes"
	"testing"

	"github.com/stretchr/testify/require"

	"hardtack/api"
	"hardtack/pricing/item"
	"hardtack/route/brief"
	"hardtack/route/plan"
)

// hop is a planned leg of ten days with a use of 8 L of water and 0.1 kg of
// snacks a day; what is missing and how long water lasts is up to the test.
func hop(missing []plan.Missing, enough bool) api.Planned {
	stop := func(name string) brief.StopNote { return brief.StopNote{Name: name} }
	need := func(id, unit string, use float64) plan.Need {
		return plan.Need{ID: id, Unit: unit, UseInPort: []float64{0, 0}, UseAtSea: []float64{use}}
	}
	return api.Planned{
		Title: "A hop",
		Brief: plan.Brief{
			Stops: []plan.Stop{{Depart: 0}, {Arrive: 10, Depart: 10}},
			Needs: []plan.Need{need("water", "L", 8), need("snacks", "kg", 0.1)},
		},
		Plan: plan.Plan{Currency: "EUR", Missing: missing},
		Notes: brief.Notes{
			Stops: []brief.StopNote{stop("Funchal"), stop("Las Palmas")},
			Needs: []brief.NeedNote{{ID: "water", Name: "Drinking water", Class: item.Safety}, {ID: "snacks", Name: "Snacks", Class: item.Luxury}},
		},
		Endurance: []brief.Endurance{{Name: "Drinking water", Leg: 0, Unit: "L", Enough: enough}},
	}
}

func TestDangerIsSaidFirst(t *testing.T) {
	t.Parallel()
	for _, tt := range []struct {
		name    string
		missing []plan.Missing
		enough  bool
		says    string // at the head; empty: no danger
	}{
		{"all there", nil, true, ""},
		{"no snacks are no danger", []plan.Missing{{Need: "snacks", Amount: 1}}, true, ""},
		{"water runs out", []plan.Missing{{Need: "water", Amount: 40}}, true, "drinking water runs out"},
		{"a long passage would outlast it", nil, false, "water would not last a long passage from Funchal to Las Palmas"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			t.Parallel()
			var b bytes.Buffer
			require.NoError(t, describePlan(&b, hop(tt.missing, tt.enough)))
			if tt.says == "" {
				require.NotContains(t, b.String(), "NOT SAFE")
				return
			}
			require.Regexp(t, `^A hop\n=+\n\nNOT SAFE AS IT STANDS: `+tt.says, b.String())
		})
	}
}

func TestGoingWithoutIsReadable(t *testing.T) {
	t.Parallel()
	p := hop([]plan.Missing{{Need: "water", Amount: 30}, {Need: "water", Amount: 10}, {Need: "snacks", Amount: 0.001}}, true)
	require.Equal(t, []string{"40 of 80 L drinking water"}, byNeed(p), "a thousandth of the snacks is not worth saying")
	require.Equal(t, "2914", figures(2914.2))
}
