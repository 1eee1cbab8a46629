package api_test

import (
	"context"
	"testing"

	"github.com/stretchr/testify/require"

	"hardtack/api"
	"hardtack/route/plan"
)

// Stopped at the first better plan, planning keeps the best so far; when nobody
// waits any more it ends and keeps nothing.
func TestPlanningCanBeStopped(t *testing.T) {
	t.Parallel()
	s := islands(t)
	before, err := s.LastPlan(ctx, "hop")
	require.NoError(t, err)
	gone, leave := context.WithCancel(ctx)
	defer leave()
	told := 0
	endless := plan.Budget{Seed: 3, Work: 1 << 40}
	_, err = s.Plan(gone, "hop", api.PlanOptions{Budget: endless, Better: func(plan.Plan) { told++; leave() }})
	require.ErrorIs(t, err, context.Canceled)
	require.Positive(t, told)
	kept, err := s.LastPlan(ctx, "hop")
	require.NoError(t, err)
	require.Equal(t, before.Revision, kept.Revision)

	for _, careful := range []bool{false, true} {
		stop := make(chan struct{})
		closed := false
		made, err := s.Plan(ctx, "hop", api.PlanOptions{Budget: endless, Careful: careful, Stop: stop, Better: func(p plan.Plan) {
			if !closed {
				close(stop)
			}
			closed = true
			require.GreaterOrEqual(t, p.Cost.Total, p.Bound)
		}})
		require.NoError(t, err)
		require.NoError(t, plan.Verify(made.Value.Brief, made.Value.Plan))
		kept, err = s.LastPlan(ctx, "hop")
		require.NoError(t, err)
		require.Equal(t, made.Revision, kept.Revision)
	}
}
