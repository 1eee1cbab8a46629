package web

import (
	"net/http"
	"strconv"
	"testing"

	"github.com/stretchr/testify/require"
)

func TestBoatAndCrewAreChangedTogether(t *testing.T) {
	t.Parallel()
	svc := invented(t)
	v := visit(t, serve(t, svc, Options{}))
	before, err := svc.Vessel(ctx, "quillback")
	require.NoError(t, err)
	crew, err := svc.Crew(ctx, "demo-crew")
	require.NoError(t, err)
	form := fieldsOf(t, v.get("/boat").body, "/boat")
	for i, s := range before.Value.Spaces { // what a select would send
		form.Set("kind"+strconv.Itoa(i), string(s.Kind))
	}
	for i, m := range crew.Value.Persons {
		form.Set("sex"+strconv.Itoa(i), string(m.Sex))
	}
	same := v.post("/boat", form)
	require.Equal(t, http.StatusOK, same.status, same.body)
	after, err := svc.Vessel(ctx, "quillback")
	require.NoError(t, err)
	require.Equal(t, before, after, "sent untouched, nothing changes")
	crewAfter, err := svc.Crew(ctx, "demo-crew")
	require.NoError(t, err)
	require.Equal(t, crew, crewAfter)

	form.Set("person6", "<i>Ada</i>")
	form.Set("age6", "9")
	form.Set("eats6", "peanut, pork, nosuchfood")
	bad := v.post("/boat", form)
	require.Equal(t, http.StatusUnprocessableEntity, bad.status)
	require.Contains(t, bad.body, "nosuchfood")
	require.NotContains(t, bad.body, "<i>Ada")
	require.NotContains(t, v.get(demoVoyage).body, "changed since this plan")
	form.Set("eats6", "no-alcohol")
	form.Set("litres0", "75,5")
	require.Equal(t, http.StatusOK, v.post("/boat", form).status)
	require.Contains(t, v.get(demoVoyage).body, "changed since this plan")
	crewAfter, err = svc.Crew(ctx, "demo-crew")
	require.NoError(t, err)
	require.Len(t, crewAfter.Value.Persons, 7)
	after, err = svc.Vessel(ctx, "quillback")
	require.NoError(t, err)
	require.Equal(t, 75.5, after.Value.Spaces[0].Litres)
	require.Equal(t, http.StatusConflict, v.post("/boat", form).status, "the page was made before the change")
}
