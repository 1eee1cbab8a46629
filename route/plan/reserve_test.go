package plan_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"hardtack/route/plan"
)

// emergencyMeals is a need that is never used but due as a reserve after both
// legs: 3 meals, then 5, at 2 EUR a meal and 4 EUR for each that lacks.
func emergencyMeals() plan.Brief {
	b := voyageOfTwoLegs()
	b.Needs = b.Needs[:1]
	n := &b.Needs[0]
	n.UseAtSea, n.Reserve, n.ReserveMissingCost = []float64{0, 0}, []float64{3, 5}, 4
	n.Items[0].Keeps[0].Days = []float64{90, 90, 90}
	return b
}

func TestSolveBuysForReservesAlone(t *testing.T) {
	t.Parallel()
	b := emergencyMeals()
	for _, work := range []int{1, 10_000} {
		p := solve(t, b, plan.Budget{Work: work})
		require.InDelta(t, 5*2, p.Cost.Total, 1e-6, "five meals from stop 0, nothing lacks")
	}
	require.InDelta(t, 10, solve(t, b, plan.Budget{}).Bound, 1e-3)
	b.Stops[0].TripCost = 30
	p := solve(t, b, plan.Budget{})
	require.InDelta(t, 3*4+5*4, p.Cost.Total, 1e-6, "a trip of 30 and 10 for meals save 32 of reserves")
	b.Stops[0].TripCost = 20
	p = solve(t, b, plan.Budget{})
	require.InDelta(t, 20+5*2, p.Cost.Total, 1e-6)
}

// Beyond use: 4 kg are eaten on leg 0, and 6 kg more are due on arrival.
func TestSolveBuysForReservesBeyondUse(t *testing.T) {
	t.Parallel()
	b := emergencyMeals()
	b.Needs[0].UseAtSea, b.Needs[0].Reserve = []float64{1, 0}, []float64{6, 0}
	p := solve(t, b, plan.Budget{Work: 1})
	require.InDelta(t, (4+6)*2, p.Cost.Total, 1e-6)
	require.Empty(t, p.ReserveMissing)
}
