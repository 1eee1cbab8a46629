package web

import (
	"net/http"
	"net/url"
	"testing"

	"github.com/stretchr/testify/require"

	"hardtack/pricing/calendar"
)

// The fridge fails after a week: the page says what changes, keeps nothing
// until it is accepted, and then the plan begins on that day.
func TestUnderWayOnThePage(t *testing.T) {
	t.Parallel()
	svc := invented(t)
	v := visit(t, serve(t, svc, Options{}))
	const path = demoVoyage + "/under-way"
	page := v.get(path)
	require.Equal(t, http.StatusOK, page.status)
	require.Contains(t, page.body, `value="fridge"`)
	require.Contains(t, page.body, demoVoyage+"/edit")

	bad := v.post(path, url.Values{"day": {"soon"}, "aboard": {"planned"}})
	require.Equal(t, http.StatusUnprocessableEntity, bad.status)
	require.Contains(t, bad.body, "soon")
	late := v.post(path, url.Values{"day": {"2031-01-01"}, "aboard": {"planned"}, "bought": {"1"}})
	require.Equal(t, http.StatusUnprocessableEntity, late.status)
	require.Regexp(t, `value="planned" checked`, late.body, "what was chosen stays")

	before, err := svc.LastPlan(ctx, "demo-season")
	require.NoError(t, err)
	form := url.Values{"day": {"2026-09-12"}, "aboard": {"planned"}, "lost": {"fridge"}}
	seen := v.post(path, form)
	require.Equal(t, http.StatusOK, seen.status, seen.body)
	require.Contains(t, seen.body, "What changed")
	require.Contains(t, seen.body, "<tbody><tr>", "lines that change")
	require.Contains(t, seen.body, `value="fridge" checked`)
	kept, err := svc.LastPlan(ctx, "demo-season")
	require.NoError(t, err)
	require.Equal(t, before.Revision, kept.Revision)

	form.Set("do", "accept")
	taken := v.post(path, form)
	require.Contains(t, taken.body, "This is the plan to go by now.")
	kept, err = svc.LastPlan(ctx, "demo-season")
	require.NoError(t, err)
	day, err := calendar.Parse("2026-09-12")
	require.NoError(t, err)
	require.Equal(t, day, kept.Value.Notes.Start)
	for _, x := range kept.Value.Plan.Purchases {
		for _, st := range x.Stowed {
			require.NotEqual(t, "fridge", st.Space)
		}
	}
}
