package plan_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"hardtack/route/plan"
)

const slack = 1e-6

// below is the number that comes to y with the slack added, to the last digit.
func below(t *testing.T, y float64) float64 {
	t.Helper()
	for _, x := range []float64{y - slack, math.Nextafter(y-slack, 0), math.Nextafter(y-slack, y)} {
		if x+slack == y {
			return x
		}
	}
	require.FailNow(t, "no such number")
	return 0
}

// What is off by just the slack is let pass, what is off by a hair more is not.
func TestVerifyAllowsJustTheSlack(t *testing.T) {
	t.Parallel()
	const hair = 1e-9
	total := func() float64 { c, _ := plan.Reckon(handBrief(), handPlan()); return c.Total }()
	for _, tt := range []struct {
		name string
		off  func(b *plan.Brief, p *plan.Plan, hair float64)
		want plan.Rule
	}{
		{"a space", func(b *plan.Brief, _ *plan.Plan, hair float64) { b.Stowage.Spaces[0].Litres = below(t, 6) - hair }, plan.RuleRoom},
		{"the payload", func(b *plan.Brief, _ *plan.Plan, hair float64) { b.Stowage.PayloadKg = ptr(below(t, 8.5) - hair) }, plan.RulePayload},
		{"what a lot held", func(b *plan.Brief, _ *plan.Plan, hair float64) {
			b.Needs[0].Items[0].Aboard[0].Amount = below(t, 1) - hair
		}, plan.RuleBalance},
		{"the use", func(b *plan.Brief, _ *plan.Plan, hair float64) { b.Needs[0].UseInPort[2] = below(t, 0.5) - hair }, plan.RuleUse},
		{"the use until a lot expires", func(_ *plan.Brief, p *plan.Plan, hair float64) {
			p.Draws[6].Amount = 1.5 + slack + hair
			p.Purchases[2].Stowed[0].Amount = 1.5 + hair
			p.Missing[1].Amount = 0.5 - slack - hair
		}, plan.RuleExpiry},
		{"what is carried from the last stop", func(_ *plan.Brief, p *plan.Plan, hair float64) {
			p.Purchases[5].EatenInPort = 0.5 - 2*slack
			p.Missing = append(p.Missing, plan.Missing{Need: "grain", Period: "stay 2", Amount: 2 * slack})
			p.Purchases[5].Stowed = []plan.Stowed{{Space: "dry", Amount: slack + hair}}
		}, plan.RuleStowed},
		{"what is out of reach", func(_ *plan.Brief, p *plan.Plan, hair float64) { p.Unreachable[0].Amount = 0.5 + slack + hair }, plan.RuleUnreachable},
		{"the bound", func(_ *plan.Brief, p *plan.Plan, hair float64) {
			p.Bound = total + (slack*total + 1e-9) + hair
			p.Gap = (total - p.Bound) / total
		}, plan.RuleBound},
	} {
		t.Run(tt.name, func(t *testing.T) {
			b, p := handBrief(), handPlan()
			tt.off(&b, &p, 0)
			require.NoError(t, plan.Verify(b, p))
			b, p = handBrief(), handPlan()
			tt.off(&b, &p, hair)
			require.Contains(t, brokenRules(t, plan.Verify(b, p)), tt.want)
		})
	}
}

// A lot that is no longer food does not hide those after it.
func TestVerifyCountsWhatFollowsWhatIsGone(t *testing.T) {
	t.Parallel()
	b := handBrief()
	b.Stowage.Spaces[1].Litres = 2.9
	require.ErrorContains(t, plan.Verify(b, handPlan()), "space fridge, departure from stop 1")
}
