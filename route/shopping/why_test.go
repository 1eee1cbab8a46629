package shopping

import (
	"context"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"hardtack/route/plan"
)

// The fixture planned: rice is cheaper at the first island than at the second
// and keeps, tank water comes from nowhere else.
func TestWhyALineIsBoughtHere(t *testing.T) {
	t.Parallel()
	in := passage(t)
	p, err := plan.Solve(context.Background(), in.Brief, plan.Budget{Work: 2000}, nil)
	require.NoError(t, err)
	require.NoError(t, plan.Verify(in.Brief, p))
	in.Plan = p
	l := FromPlan(in)
	why := map[string]string{}
	for _, list := range l.Lists {
		for _, x := range list.Lines {
			require.NotEmpty(t, x.Why, "%s", x.Name)
			var all []string
			for _, r := range x.Why {
				all = append(all, r.String())
			}
			why[string(x.Item)+" "+list.Name] = strings.Join(all, "; ")
		}
	}
	t.Log(why)
	found := false
	for key, words := range why {
		found = found || strings.HasPrefix(key, "water_tank") && strings.Contains(words, "the only stop it can come from")
	}
	require.True(t, found, "%v", why)
	var text strings.Builder
	require.NoError(t, l.WriteText(&text))
	require.NotContains(t, text.String(), "why here: ", "paper is for what one would wonder at")
	text.Reset()
	require.NoError(t, l.WriteWhy(&text))
	require.Contains(t, text.String(), "the only stop it can come from")
	l.Lists[0].Lines[0].Why = m(t).whyNoMore(plan.Reason{Full: []plan.Full{{Space: "dry", Stop: 1}, {Space: "dry", Stop: 2}, {Space: "payload", Stop: 0}}})
	text.Reset()
	require.NoError(t, l.WriteText(&text))
	require.Contains(t, text.String(), "why here: no room for more in the dry lockers after Mindelo; the boat")

	in.Plan.Purchases = nil // no plan of this brief: nothing is made up
	for _, list := range FromPlan(in).Lists {
		for _, x := range list.Lines {
			require.Empty(t, x.Why)
		}
	}
}

func m(t *testing.T) *maker { return &maker{Input: passage(t)} }

// Every sort of reason, as it is read.
func TestReasonsInWords(t *testing.T) {
	t.Parallel()
	for want, r := range map[string]plan.Reason{
		"it must be bought: wished for, or paid for already":                                                           {Forced: true},
		"the only stop it can come from":                                                                               {Unit: 2, NextStop: -1},
		"the cheapest of 3 stops it could come from, next Mindelo, 25 % dearer":                                        {Unit: 2, Next: 2.5, Others: 2, NextStop: 1},
		"1 of 2 other stops is cheaper by the unit, Mindelo by 50 %, but not once ways, packs, keeping and room count": {Unit: 2, Next: 1, Others: 2, Cheaper: 1, NextStop: 1},
	} {
		require.Equal(t, want, m(t).whyHere(r).String())
	}
}
