package brief

import (
	"testing"

	"github.com/stretchr/testify/require"

	"hardtack/route/plan"
	"hardtack/route/vessel"
)

// filled is a brief with a plan made by hand: water from the hose, apples
// beyond Falmouth where they are taken, and rice for the ocean leg.
func filled(t *testing.T) (plan.Brief, Notes, plan.Plan) {
	b, n := build(t, input())
	stow := func(space string, amount float64) []plan.Stowed { return []plan.Stowed{{Space: space, Amount: amount}} }
	box := itemOf(t, b, "apple").Keeps[0].Space
	p := plan.Plan{
		Purchases: []plan.Purchase{
			{ID: "p1", Stop: 0, Need: "water", Item: "water_tank", Pack: 20, Packs: 10, Price: 1, Stowed: stow("tank", 140), EatenInPort: 60},
			{ID: "p2", Stop: 0, Need: "fruit", Item: "apple", Pack: 1, Packs: 8, Price: 3, Stowed: stow(box, 6), EatenInPort: 2},
			{ID: "p3", Stop: 0, Need: "rice", Item: "rice_white", Pack: 1, Packs: 3, Price: 2, Stowed: stow("dry", 3)},
		},
		Draws: []plan.Draw{
			{Need: "water", Item: "water_tank", Lot: "p1", Space: "tank", Period: "leg 0", Amount: 100},
			{Need: "fruit", Item: "apple", Lot: "p2", Space: box, Period: "leg 0", Amount: 4},
			{Need: "rice", Item: "rice_white", Lot: "p3", Space: "dry", Period: "leg 0", Amount: 1},
			{Need: "rice", Item: "rice_white", Lot: "p3", Space: "dry", Period: "stay 1", Amount: 0.5},
		},
		Discards: []plan.Discard{{Item: "rice_white", Lot: "p3", Space: "dry", Stop: 1, Amount: 1}},
		Trips:    []plan.Trip{{Stop: 0, Count: 1}},
	}
	return b, n, p
}

func TestEndurance(t *testing.T) {
	t.Parallel()
	b, n, p := filled(t)
	got := EnduranceOf(b, n, p)
	water := got[0]
	require.Equal(t, "water", water.Need)
	require.InDelta(t, 140, water.Aboard, 1e-9)
	require.InDelta(t, 7, water.PerDay, 1e-9) // two adults on 3.5 L
	require.InDelta(t, 20, water.Lasts, 1e-9)
	require.True(t, water.Enough) // the long passage takes 15.6 days
	require.Equal(t, "2027-05-26", water.Day.String())
	gas := got[1]
	require.Equal(t, "gas", gas.Need)
	require.InDelta(t, 9, gas.Aboard, 1e-9)
	last := got[2] // 40 L are left for the day to Brest, three at most
	require.InDelta(t, 40.0/7, last.Lasts, 1e-9)
	require.InDelta(t, 3, last.Long, 1e-9)
	require.True(t, last.Enough)
	days := func(x float64) { n.Legs[0].Long = water.Lasts / x }
	days(0.995)
	require.True(t, EnduranceOf(b, n, p)[0].Enough)
	days(0.98)
	require.False(t, EnduranceOf(b, n, p)[0].Enough)
}

func TestReview(t *testing.T) {
	t.Parallel()
	in := input()
	b, n, p := filled(t)
	r := ReviewOf(b, n, p, in.Crew, in.Itinerary)
	require.InDelta(t, 2*26, r.PersonDays, 1e-9)
	need := (in.Crew.Persons[0].EnergyNeed(0) + in.Crew.Persons[1].EnergyNeed(0)) / 2
	require.InDelta(t, need, r.KcalNeed, 1e-6)
	apple, _ := n.Item("apple")
	require.InDelta(t, (6*1000*(1-apple.LossPart)+1.5*1000+160*1000)/52, r.Kcal, 1e-6) // the larder gives water energy too
	require.InDelta(t, 40, r.Spend, 1e-9)
	require.Equal(t, []Lost{{Item: "apple", Stop: 1, Amount: 2, Cost: 6}}, r.Surrendered)
	require.InDelta(t, 0.15, r.LostShare(r.Surrendered), 1e-9)
	require.InDelta(t, 0.5*2+40.0/20, r.Left, 1e-9) // rice and the water left in the tank
	require.Equal(t, 1, r.Loads[0].Trips)
	require.Equal(t, 3, r.Loads[0].Lines)
	require.InDelta(t, 6*1.05+3*1.05, r.Loads[0].Kg, 1e-9)
	for _, f := range r.Fill {
		if f.Space == "tank" {
			require.InDelta(t, 140, f.Litres, 1e-9)
		}
	}
	for _, s := range r.Shares {
		if s.Item == "rice_white" {
			require.InDelta(t, 1, s.Share, 1e-9) // nothing else of its group is eaten
		}
	}
}

func TestReviewOfNothing(t *testing.T) {
	t.Parallel()
	in := input()
	b, n := build(t, in)
	r := ReviewOf(b, n, plan.Plan{}, vessel.Crew{}, in.Itinerary)
	require.Zero(t, r.Spend)
	require.Zero(t, r.Kcal)
	require.Zero(t, r.LostShare(r.Spoilt))
}

func TestPeriodOf(t *testing.T) {
	t.Parallel()
	for name, want := range map[string]int{"stay 0": 0, "leg 0": 1, "stay 3": 6, "leg 12": 25} {
		got, ok := periodOf(name)
		require.True(t, ok)
		require.Equal(t, want, got)
	}
	for _, bad := range []string{"", "day 1", "stay", "leg x"} {
		_, ok := periodOf(bad)
		require.False(t, ok, bad)
	}
}

// The stays and legs together are the plan as a whole: the same energy, the
// same protein, the same days and the same need.
func TestByStayAndLegIsTheWholePlan(t *testing.T) {
	t.Parallel()
	in := input()
	in.Itinerary.Calls[0].Ashore = 0.25
	b, n, p := filled(t)
	r := ReviewOf(b, n, p, in.Crew, in.Itinerary)
	var days, kcal, need, protein, safe float64
	for k, f := range r.Fed {
		days += f.PersonDays
		kcal += f.Kcal * f.PersonDays
		need += f.KcalNeed * f.PersonDays
		protein += f.ProteinG * f.PersonDays
		safe += f.ProteinMin * f.PersonDays
		if k > 0 {
			require.GreaterOrEqual(t, f.From, r.Fed[k-1].To, "in order, none twice")
		}
	}
	require.InDelta(t, r.PersonDays, days, 1e-9)
	require.InDelta(t, r.Kcal*r.PersonDays, kcal, 1e-6)
	require.InDelta(t, r.KcalNeed*r.PersonDays, need, 1e-6)
	require.InDelta(t, r.ProteinG*r.PersonDays, protein, 1e-6)
	require.InDelta(t, r.ProteinMin*r.PersonDays, safe, 1e-6)
	apple, _ := n.Item("apple")
	leg := r.Fed[1]
	require.True(t, leg.AtSea)
	require.InDelta(t, (4*1000*(1-apple.LossPart)+1000+100*1000)/leg.PersonDays, leg.Kcal, 1e-6, "apples, rice, and the larder's water, which gives energy too")
}
