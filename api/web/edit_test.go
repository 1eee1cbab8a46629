package web

import (
	"html"
	"net/http"
	"net/url"
	"regexp"
	"testing"

	"github.com/stretchr/testify/require"
)

// fieldsOf are the fields of the form that leads to a path, as a browser would
// send them untouched.
func fieldsOf(t *testing.T, page, action string) url.Values {
	t.Helper()
	form := regexp.MustCompile(`(?s)<form[^>]*action="` + regexp.QuoteMeta(action) + `"[^>]*>(.*?)</form>`).FindStringSubmatch(page)
	require.NotNil(t, form, "no form to %s", action)
	out := url.Values{}
	attr := func(tag, name string) (string, bool) {
		m := regexp.MustCompile(`\b` + name + `="([^"]*)"`).FindStringSubmatch(tag)
		if m == nil {
			return "", false
		}
		return html.UnescapeString(m[1]), true
	}
	for _, tag := range regexp.MustCompile(`<input[^>]*>`).FindAllString(form[1], -1) {
		name, _ := attr(tag, "name")
		kind, _ := attr(tag, "type")
		value, _ := attr(tag, "value")
		if (kind == "checkbox" || kind == "radio") && !regexp.MustCompile(`\bchecked\b`).MatchString(tag) {
			continue
		}
		if name != "" && kind != "file" {
			out.Add(name, value)
		}
	}
	return out
}

func TestDatesChangedShowTheDifference(t *testing.T) {
	t.Parallel()
	v := visit(t, serve(t, invented(t), Options{}))
	path := demoVoyage + "/edit"
	page := v.get(path)
	fields := fieldsOf(t, page.body, path)
	require.Equal(t, "2026-09-19", fields.Get("depart1"))
	fields.Set("depart1", "2026-09-24") // five days more in the second port
	fields.Set("out12", "1")            // and one port less
	done := v.post(path, fields)
	require.Equal(t, http.StatusOK, done.status, done.body)
	require.Contains(t, done.body, "What changed")
	require.Contains(t, done.body, `value="2026-09-24"`)
	require.NotContains(t, done.body, "13. English Harbour")

	stale := v.post(path, fields)
	require.Equal(t, http.StatusConflict, stale.status, "the page was made before the change")

	fields = fieldsOf(t, done.body, path)
	fields.Set("depart1", "2026-13-77")
	fields.Set("name", "<script>alert(1)</script>")
	bad := v.post(path, fields)
	require.Equal(t, http.StatusUnprocessableEntity, bad.status)
	require.Contains(t, bad.body, `value="2026-13-77"`, "what was typed stays")
	require.NotContains(t, bad.body, "<script>alert")

	fields = fieldsOf(t, done.body, path)
	fields.Set("port0", "ponta delgada")
	fields.Set("days_new", "3")
	fields.Set("after", "2")
	more := v.post(path, fields)
	require.Equal(t, http.StatusOK, more.status, more.body)
	require.Contains(t, more.body, "4. Ponta Delgada")
}
