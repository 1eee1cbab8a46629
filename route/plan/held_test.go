package plan_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"hardtack/route/plan"
	"hardtack/route/plan/instance"
)

// Read into schedules and written again, a plan costs the same.
func TestPlanReadsBack(t *testing.T) {
	t.Parallel()
	for seed := range uint64(6) {
		for _, size := range []instance.Size{instance.Tiny, instance.Small} {
			b := instance.Random(seed, size, seed%2 == 0)
			p := solve(t, b, plan.Budget{Work: 5000})
			again, err := plan.ReadBack(b, p)
			require.NoError(t, err)
			require.NoError(t, plan.Verify(b, again))
			require.InDelta(t, p.Cost.Total, again.Cost.Total, 1e-5*p.Cost.Total, "seed %d", seed)
		}
	}
}
