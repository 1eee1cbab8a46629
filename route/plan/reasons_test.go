package plan_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"hardtack/route/plan"
	"hardtack/route/plan/instance"
)

func TestReasonsByHand(t *testing.T) {
	t.Parallel()
	b, _ := twoShelves()
	p := solve(t, b, plan.Budget{Work: 1000})
	reasons, err := plan.Reasons(b, p)
	require.NoError(t, err)
	require.Len(t, reasons, 1)
	r := reasons[0]
	require.Equal(t, 2.0, r.Unit)
	require.Equal(t, 3.0, r.Next)
	require.Equal(t, 1, r.NextStop)
	require.Equal(t, "leg 1", r.Until)
	require.Empty(t, r.Full)
	require.Equal(t, "the cheapest of 2 stops it could come from, eaten until leg 1", r.String())

	b.Stowage.Spaces[0].Litres = 5 // room for the first leg and a kilogram
	p = solve(t, b, plan.Budget{Work: 1000})
	reasons, err = plan.Reasons(b, p)
	require.NoError(t, err)
	require.Equal(t, []plan.Full{{Space: "dry", Stop: 0}}, reasons[0].Full)
	require.Equal(t, "the cheapest of 2 stops it could come from, eaten until leg 1; no room for more in dry after stop 0", reasons[0].String())
	require.Equal(t, 1, reasons[1].Cheaper)
}

func TestEveryPurchaseHasAReason(t *testing.T) {
	t.Parallel()
	for seed := range uint64(6) {
		b := instance.Random(seed, instance.Small, true)
		p := solve(t, b, plan.Budget{Work: 3000})
		reasons, err := plan.Reasons(b, p)
		require.NoError(t, err)
		require.Len(t, reasons, len(p.Purchases))
		for k, r := range reasons {
			require.Equal(t, p.Purchases[k].ID, r.Purchase)
			require.Positive(t, r.Unit)
			require.NotEmpty(t, r.String())
		}
	}
}
