package season

import (
	"testing"

	"github.com/stretchr/testify/require"

	"hardtack/route/plan"
)

// coast is three stops two days apart, a day in each, and one need of 1 a
// day with a reserve of a day. Rice costs 2, then 4, then 1.
func coast(litres float64, wish int) plan.Brief {
	days := []float64{100, 100, 100}
	rice := plan.Item{ID: "rice", Yield: 1, Litres: 1, Kg: 1, LineCost: 0.5,
		Keeps: []plan.Keep{{Space: "dry", Days: days}},
		Offers: []plan.Offer{{Stop: 0, Pack: 1, Price: 2}, {Stop: 1, Pack: 1, Price: 4},
			{Stop: 2, Pack: 1, Price: 1, Min: wish}}}
	return plan.Brief{Version: 1, Currency: "EUR", Start: "2027-05-29",
		Stops: []plan.Stop{{Port: "A", Depart: 1, TripCost: 10, ReserveDays: 1},
			{Port: "B", Arrive: 3, Depart: 4, TripCost: 10, ReserveDays: 1},
			{Port: "C", Arrive: 6, Depart: 7, TripCost: 10}},
		Stowage: plan.Stowage{Spaces: []plan.Space{{ID: "dry", Litres: litres}}},
		Needs: []plan.Need{{ID: "grain", Unit: "kg", UseInPort: []float64{1, 1, 1}, UseAtSea: []float64{1, 1},
			MissingCost: 50, ReserveMissingCost: 2, Items: []plan.Item{rice}}}}
}

// Worked by hand. Each leg: 1 eaten, 2 for the leg, 1 in reserve at A; the
// reserve is eaten at B, where 3 are bought again; C eats the reserve.
// First port: A is at 2 of a mean of 7/3, so all 7 are bought there.
// Ahead: at A all but the day at C, where it costs 1; at B the reserve lacks.
func TestHabitsByHand(t *testing.T) {
	t.Parallel()
	for _, tt := range []struct {
		name                           string
		litres                         float64
		wish                           int
		habit                          string
		goods, trips, lines, shortages float64
		wasted                         []Amount
	}{
		{"each leg", 100, 0, EachLeg, 4*2 + 3*4, 20, 1, 0, nil},
		{"first port", 100, 0, FirstPort, 7 * 2, 10, 0.5, 0, nil},
		{"ahead", 100, 0, Ahead, 6*2 + 1*4, 20, 1, 0, nil},
		{"the reserve is cut before the leg", 2, 0, EachLeg, 3*2 + 3*4 + 1, 20, 1, 2 * 2, nil},
		{"filling up is cut before the reserve", 3, 0, FirstPort, 4*2 + 3*4, 20, 1, 0, nil},
		{"no room at all", 0, 0, EachLeg, 2 + 4 + 1, 0, 0, 4*50 + 2*2, nil},
		{"a wish is bought and not eaten", 100, 2, EachLeg, 4*2 + 3*4 + 2*1, 20, 1, 0, []Amount{{"grain", "kg", 2}}},
	} {
		t.Run(tt.name, func(t *testing.T) {
			t.Parallel()
			h := habitsOf(t, coast(tt.litres, tt.wish))[tt.habit]
			require.InDelta(t, tt.goods, h.Plan.Cost.Goods, 1e-9)
			require.InDelta(t, tt.trips, h.Plan.Cost.Trips, 1e-9)
			require.InDelta(t, tt.lines, h.Plan.Cost.Lines, 1e-9)
			require.InDelta(t, tt.shortages, h.Shortage, 1e-9)
			require.InDelta(t, tt.goods+tt.trips, h.Spent, 1e-9)
			require.Equal(t, tt.wasted, h.Wasted)
		})
	}
}

// Goods sold at B alone, once surrendered on arrival at C: each leg buys at B
// for the stay there and leg 1; the day at C and all before B go without.
func TestHabitsKnowWhatIsTakenAway(t *testing.T) {
	t.Parallel()
	b := coast(100, 0)
	it := &b.Needs[0].Items[0]
	it.Offers = it.Offers[1:2]
	it.SurrenderedAt = []int{2}
	h := habitsOf(t, b)[EachLeg]
	require.InDelta(t, 4*4, h.Plan.Cost.Goods, 1e-9) // stay, leg, and the reserve that is lost
	require.Equal(t, []Amount{{"grain", "kg", 4}}, h.Short)
	require.Equal(t, []Amount{{"grain", "kg", 1}}, h.Wasted)
}

// What keeps too short in the near space goes where it keeps longer, and the
// rest of the leg is met by the alternate.
func TestHabitsEatFreshThenTinned(t *testing.T) {
	t.Parallel()
	b := coast(100, 0)
	n := &b.Needs[0]
	n.Items = append([]plan.Item{{ID: "bread", Yield: 1, Litres: 1, Kg: 1,
		Keeps:  []plan.Keep{{Space: "dry", Days: []float64{0.5, 0.5, 0.5}}},
		Offers: []plan.Offer{{Stop: 0, Pack: 0.5, Price: 0.5}}}}, n.Items...)
	h := habitsOf(t, b)[EachLeg]
	// bread at 1 a unit: the day at A and half a day at sea; then rice: 1.5
	// for the leg and 1 in reserve make 3 packs; the half left over saves none
	// of the 3 packs at B
	require.InDelta(t, 3*0.5+3*2+3*4, h.Plan.Cost.Goods, 1e-9)
	require.Zero(t, h.Shortage)
}

func TestHabitsRefuseMalformedBrief(t *testing.T) {
	t.Parallel()
	b := coast(100, 0)
	b.Needs[0].Items[0].Yield = -1
	_, err := Habits(b)
	require.ErrorIs(t, err, plan.ErrMalformed)
}
