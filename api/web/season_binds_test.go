package web

import (
	"net/http"
	"net/url"
	"testing"

	"github.com/stretchr/testify/require"

	"hardtack/route/plan"
)

// What limits the plan is asked for on the season page and then stands there,
// in the reader's language.
func TestWhatLimitsThePlan(t *testing.T) {
	t.Parallel()
	svc := invented(t)
	v := visit(t, serve(t, svc, Options{}))
	const ask = "Find out what one more litre"
	require.Contains(t, v.get(demoVoyage).body, ask)
	_, err := svc.Binds(ctx, "demo-season", plan.Budget{Work: 300}) // the usual budget takes a minute
	require.NoError(t, err)
	a := v.post(demoVoyage+"/binds", url.Values{})
	require.Equal(t, http.StatusOK, a.status)
	require.Equal(t, demoVoyage, a.url.Path)
	require.NotContains(t, a.body, ask)
	require.Regexp(t, "One litre more in the|One day less of reserve|Nothing by much", a.body)
	v.post("/prefs", url.Values{"lang": {"de"}, "look": {"light"}, "units": {"metric"}, "money": {"home"}})
	require.Regexp(t, "Ein Liter mehr|Ein Tag weniger Reserve|Nichts um viel", v.get(demoVoyage).body)
}
