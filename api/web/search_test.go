package web

import (
	"fmt"
	"net/url"
	"testing"

	"github.com/stretchr/testify/require"

	"hardtack/api"
	"hardtack/route/plan"
)

// The pages show the first good plan and say that a better one is looked for,
// then that it has come, or why it has not.
func TestPagesTellOfASearch(t *testing.T) {
	t.Parallel()
	for _, shopping := range []bool{false, true} {
		t.Run(fmt.Sprintf("shopping=%v", shopping), func(t *testing.T) {
			t.Parallel()
			svc := invented(t)
			v := visit(t, serve(t, svc, Options{}))
			stop := make(chan struct{})
			first := api.Planned{}
			_, err := svc.Plan(ctx, "demo-season", api.PlanOptions{Budget: plan.Budget{Work: 1 << 40}, Early: true, Stop: stop, Begun: func(p api.Planned) {
				first = p
				defer close(stop) // whatever fails, the search ends
				for _, page := range []string{"/", demoVoyage + "/ashore", demoVoyage + "/ashore/0"} {
					require.Contains(t, v.get(page).body, "still being looked for", "%s", page)
				}
				require.Positive(t, p.Plan.Bound, "a rough bound comes with it")
				require.Contains(t, v.get("/").body, "none can count less than")
				require.NotContains(t, v.get("/").body, "nothing is proven yet")
				if shopping {
					lists, err := svc.ListOf(p, 0)
					require.NoError(t, err)
					id := string(lists.Lists[0].Lines[0].Item)
					require.Equal(t, 200, v.post(demoVoyage+"/ashore/0", url.Values{"price." + id: {"1.20"}}).status)
				}
			}})
			now := planOf(t, svc)
			page := v.get("/").body
			require.NotContains(t, page, "still being looked for")
			require.NotContains(t, v.get(demoVoyage+"/ashore/0").body, "still being looked for")
			if shopping {
				require.ErrorIs(t, err, api.ErrStale)
				require.Equal(t, first.Plan, now.Plan)
				require.Contains(t, page, "plan anew to have a better one")
				return
			}
			require.NoError(t, err)
			require.Less(t, now.Plan.Cost.Total, first.Plan.Cost.Total)
			require.Contains(t, page, "has taken the place of a first one")
		})
	}
}
