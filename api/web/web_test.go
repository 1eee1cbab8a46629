package web

import (
	"net/http"
	"net/url"
	"testing"

	"github.com/stretchr/testify/require"
)

func TestFirstPlanInThreeActions(t *testing.T) {
	t.Parallel()
	v := visit(t, serve(t, empty(t), Options{}))
	a := v.get("/") // first: open it
	require.Equal(t, http.StatusOK, a.status)
	require.Contains(t, a.body, "A first plan")
	fields := url.Values{ // second: say where to, misspelt and without accents
		"port0": {"Horta"}, "days0": {"4"}, "port1": {"la coruna"}, "days1": {"5,5"}, "port2": {"Falmout"}, "port3": {""},
		"begin": {"2026-09-12"}, "home": {"EUR"}, "adults": {"2"}, "children": {"6"}, "length": {"middle"}, "do": {"plan"},
	}
	a = v.post("/start", fields)
	require.Equal(t, http.StatusUnprocessableEntity, a.status, a.body)
	require.Contains(t, a.body, `value="la coruna"`, "what was typed stays")
	require.Contains(t, a.body, `name="id2"`)
	fields.Set("id2", "GBFAL") // third: choose what was meant
	fields.Set("asked2", "Falmout")
	fields.Set("id1", "x-a-coruna")
	fields.Set("asked1", "la coruna")
	a = v.post("/start", fields)
	require.Equal(t, http.StatusOK, a.status, a.body)
	require.Equal(t, "/voyage/season-1", a.url.Path)
	require.Contains(t, a.body, "Falmouth")
}

func TestOnlyOwnPagesMayChangeAnything(t *testing.T) {
	t.Parallel()
	v := visit(t, serve(t, empty(t), Options{Hosts: []string{"galley"}}))
	require.Equal(t, http.StatusForbidden, v.do("POST", "/prefs", nil, "Origin", "http://evil.example").status)
	require.Equal(t, http.StatusForbidden, v.do("POST", "/prefs", nil, "Origin", "").status)
	require.Equal(t, http.StatusMisdirectedRequest, v.do("GET", "/", nil, "Host", "evil.example").status)
	require.Equal(t, http.StatusOK, v.do("GET", "/", nil, "Host", "galley:8080").status)
	a := v.get("/")
	csp := a.header.Get("Content-Security-Policy")
	require.NotContains(t, csp, "unsafe")
	require.Contains(t, csp, "default-src 'none'")
	require.Contains(t, csp, "base-uri 'none'")
	require.Contains(t, csp, "frame-ancestors 'none'")
	require.NotContains(t, csp, "object-src", "what is not named is none")
	require.Equal(t, "nosniff", a.header.Get("X-Content-Type-Options"))
	require.Equal(t, "same-origin", a.header.Get("Referrer-Policy"))
}
