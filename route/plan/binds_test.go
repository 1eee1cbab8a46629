package plan_test

import (
	"context"
	"testing"

	"github.com/stretchr/testify/require"

	"hardtack/route/plan"
	"hardtack/route/plan/instance"
)

// Room for 5 of the 7 kg wanted from stop 0 at 2 EUR; each litre more saves
// the EUR that stop 1 asks more.
func TestBindsByHand(t *testing.T) {
	t.Parallel()
	b, _ := twoShelves()
	b.Stowage.Spaces[0].Litres = 5
	b.Stowage.PayloadKg = ptr(5.5)
	b.Needs[0].Items[0].Keeps[0].Days = []float64{6, 90, 90} // until day 7: a day of leg 1, which ends on day 9
	p := solve(t, b, plan.Budget{Work: 1000})
	require.InDelta(t, 5*2+2*3, p.Cost.Total, 1e-6)
	binds, err := plan.Binds(context.Background(), b, p, plan.Budget{Work: 500})
	require.NoError(t, err)
	require.Empty(t, binds, "a litre more is too heavy, and more is not kept")

	b.Stowage.PayloadKg = nil
	b.Needs[0].Items[0].Keeps[0].Days[0] = 90
	p = solve(t, b, plan.Budget{Work: 1000})
	binds, err = plan.Binds(context.Background(), b, p, plan.Budget{Work: 500})
	require.NoError(t, err)
	require.Len(t, binds, 1)
	require.Equal(t, plan.BindLitre, binds[0].What)
	require.Equal(t, []int{0}, binds[0].Full)
	require.Equal(t, "dry", binds[0].Space)
	require.InDelta(t, 1, binds[0].Saves, 1e-6)
}

func TestResumeNeverGetsDearer(t *testing.T) {
	t.Parallel()
	for seed := range uint64(6) {
		b := instance.Random(seed, instance.Small, seed%2 == 0)
		p := solve(t, b, plan.Budget{Work: 1000})
		q, err := plan.Resume(context.Background(), b, p, plan.Budget{Work: 5000})
		require.NoError(t, err)
		require.NoError(t, plan.Verify(b, q))
		require.LessOrEqual(t, q.Cost.Total, p.Cost.Total*(1+1e-9))
	}
}
