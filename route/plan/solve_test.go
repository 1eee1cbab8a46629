package plan_test

import (
	"context"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"hardtack/route/plan"
)

func TestSolveKeepsTheContract(t *testing.T) {
	for _, name := range append(solved, "season-101", "season-102") {
		b := readBrief(t, name)
		t0 := time.Now()
		first := time.Duration(0)
		p, err := plan.Solve(context.Background(), b, plan.Budget{}, func(p plan.Plan) {
			if first == 0 {
				first = time.Since(t0)
				t.Logf("   first %.2f", p.Cost.Total)
			}
		})
		require.NoError(t, err)
		t.Logf("%s total %.4f bound %.4f gap %.2f%% %.2fs first %.2fs %+v", name, p.Cost.Total, p.Bound, 100*p.Gap, time.Since(t0).Seconds(), first.Seconds(), p.Cost)
		require.NoError(t, plan.Verify(b, p))
	}
}
