package web

import (
	"net/http"
	"net/url"
	"testing"

	"github.com/stretchr/testify/require"
)

// Ten times what rice costs is asked about, in words, and one tap answers.
func TestSlipsAreAskedAboutAndAnsweredByOneTap(t *testing.T) {
	t.Parallel()
	svc := invented(t)
	v := visit(t, serve(t, svc, Options{}))
	asked, err := svc.Asked(ctx)
	require.NoError(t, err)
	for _, a := range asked {
		require.False(t, a.Own)
	}
	report := func(id, price string) answer {
		return v.post(demoVoyage+"/report", url.Values{
			"receipt": {id}, "port0": {"Las Palmas"}, "id0": {"ESLPA"}, "asked0": {"Las Palmas"}, "day": {demoDay.Format("2006-01-02")}, "money": {"EUR"},
			"source": {"receipt"}, "item0": {"rice_white"}, "price0": {price}, "pack0": {"1 kg"},
		})
	}
	page := report("7f1d2a54-0c9b-4c1e-9d57-5a2f3b6c8e10", "17.90")
	require.Equal(t, http.StatusOK, page.status, page.body)
	require.Equal(t, demoVoyage+"/asked", page.url.Path, "who typed it is asked at once")
	require.Contains(t, page.body, "times the usual")
	require.Contains(t, page.body, "It was 1.79 EUR for 1 kg")

	form := fieldsOf(t, page.body, demoVoyage+"/asked")
	form.Set("answer", "0")
	page = v.post(demoVoyage+"/asked", form)
	require.Contains(t, page.body, "Put right.")
	require.Contains(t, page.body, "Nothing you reported waits")
	require.Contains(t, v.get(demoVoyage+"/prices/ESLPA/rice_white").body, "1.79 EUR")
	require.Contains(t, v.post(demoVoyage+"/asked", form).body, "nothing was changed", "the same tap again")

	page = report("7f1d2a54-0c9b-4c1e-9d57-5a2f3b6c8e11", "18.90")
	form = fieldsOf(t, page.body, demoVoyage+"/asked")
	form.Set("answer", "withdraw")
	require.Contains(t, v.post(demoVoyage+"/asked", form).body, "Taken back.")

	page = report("7f1d2a54-0c9b-4c1e-9d57-5a2f3b6c8e12", "19.90")
	form = fieldsOf(t, page.body, demoVoyage+"/asked")
	form.Set("answer", "stands")
	page = v.post(demoVoyage+"/asked", form)
	require.Contains(t, page.body, "Kept as it is.")
	require.NotContains(t, page.body, "It was 1.99 EUR", "it is not asked again")
	form.Set("report", "no such report")
	require.Equal(t, http.StatusNotFound, v.post(demoVoyage+"/asked", form).status)
}
