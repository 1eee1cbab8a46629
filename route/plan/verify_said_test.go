package plan_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"hardtack/route/plan"
)

// A plan that breaks many rules is told of some, and how many more there are.
func TestVerifySaysHowManyMore(t *testing.T) {
	t.Parallel()
	few, many := handPlan(), handPlan()
	few.Cost.Goods = 0
	require.NotContains(t, plan.Verify(handBrief(), few).Error(), "more")
	for i := range many.Draws {
		many.Draws[i].Lot = "none"
	}
	err := plan.Verify(handBrief(), many)
	var all plan.Violations
	require.ErrorAs(t, err, &all)
	require.ErrorContains(t, err, fmt.Sprintf("plan breaks %d rules: ", len(all)))
	require.ErrorContains(t, err, fmt.Sprintf("; and %d more", len(all)-strings.Count(err.Error(), "; ")))
}

// Periods are told by their names, and what lies past the route with where the
// route ends.
func TestVerifySaysWhere(t *testing.T) {
	t.Parallel()
	for _, tt := range []struct {
		spoil func(*plan.Plan)
		want  string
	}{
		{func(p *plan.Plan) { p.Missing = p.Missing[1:] }, "leg 1"},
		{func(p *plan.Plan) { p.Missing = p.Missing[2:] }, "leg 0"},
		{func(p *plan.Plan) { p.Draws[4].Amount = 0.5 }, "stay 1"},
		{func(p *plan.Plan) { p.Trips = append(p.Trips, plan.Trip{Stop: 3}) }, "the last stop is 2"},
		{func(p *plan.Plan) { p.Purchases[5].Stop = 3 }, "stop 3, the last is 2"},
		{func(p *plan.Plan) { p.Discards[0].Stop = 3 }, "stop 3, the last is 2"},
		{func(p *plan.Plan) { p.Draws[4].Period = "leg 2" }, "leg 2, the last period is stay 2"},
	} {
		p := handPlan()
		tt.spoil(&p)
		require.ErrorContains(t, plan.Verify(handBrief(), p), tt.want)
	}
}
