package web

import (
	"net/http"
	"net/url"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

func TestReadersChooseTheirUnitsAndLanguage(t *testing.T) {
	t.Parallel()
	v := visit(t, serve(t, invented(t), Options{}))
	require.Contains(t, v.get(shopPath).body, " kg")
	page := v.post("/prefs", url.Values{"units": {"us"}, "comma": {"comma"}, "lang": {"de"}, "look": {"red"}, "back": {shopPath}})
	require.Equal(t, http.StatusOK, page.status)
	require.Equal(t, shopPath, page.url.Path)
	require.Contains(t, page.body, `<html lang="de" data-look="red">`)
	require.Contains(t, page.body, "An Land in A Coruña")
	require.Contains(t, page.body, " lb")
	require.NotContains(t, page.body, "Price of")
	require.Regexp(t, `\d,\d\d EUR`, page.body)
	for _, p := range pagesToLookAt {
		a := v.get(p.path)
		require.Less(t, a.status, 500, p.name)
		require.Contains(t, a.body, `<html lang="de"`, p.name)
	}
	page = v.post("/prefs", url.Values{"look": {"no such light"}, "back": {"//evil.example/"}})
	require.Equal(t, "/", page.url.Path, "nobody is sent to another site")
	require.Contains(t, page.body, `data-look="red"`, "what is no choice changes nothing")
}

// The one cookie holds how a page looks and reads, is kept from scripts, and is
// not sent by pages of other sites that change something.
func TestTheCookieHoldsLittle(t *testing.T) {
	t.Parallel()
	v := visit(t, serve(t, empty(t), Options{}))
	v.Client.CheckRedirect = func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse }
	a := v.post("/prefs", url.Values{"units": {"us"}, "lang": {"de"}, "look": {"red"}, "back": {"/"}})
	set := a.header.Values("Set-Cookie")
	require.Len(t, set, 1)
	c, err := http.ParseSetCookie(set[0])
	require.NoError(t, err)
	require.True(t, c.HttpOnly)
	require.Equal(t, http.SameSiteLaxMode, c.SameSite)
	held, err := url.ParseQuery(c.Value)
	require.NoError(t, err)
	for name := range held {
		require.Contains(t, []string{"units", "money", "comma", "lang", "look"}, name)
	}
	require.Empty(t, v.get("/start").header.Values("Set-Cookie"), "nobody is told apart")
}

func TestTheBrowsersLanguageIsTaken(t *testing.T) {
	t.Parallel()
	v := visit(t, serve(t, empty(t), Options{}))
	for header, lang := range map[string]string{"": "en", "de-AT,de;q=0.9,en;q=0.8": "de", "fr,en;q=0.5": "en", "pt": "en", "EN-gb": "en"} {
		require.Contains(t, v.do("GET", "/", nil, "Accept-Language", header).body, `<html lang="`+lang+`"`, header)
	}
}

// A page that was seen before is not sent again, and is packed when it is.
func TestPagesAreKeptAndPacked(t *testing.T) {
	t.Parallel()
	v := visit(t, serve(t, invented(t), Options{}))
	first := v.do("GET", demoVoyage, nil, "Accept-Encoding", "gzip")
	require.Equal(t, "gzip", first.header.Get("Content-Encoding"))
	again := v.do("GET", demoVoyage, nil, "Accept-Encoding", "gzip", "If-None-Match", first.header.Get("ETag"))
	require.Equal(t, http.StatusNotModified, again.status)
	require.Empty(t, again.body)
	plain := v.get("/start")
	require.True(t, strings.HasPrefix(plain.body, "<!doctype html>"))
	style := v.get(loadAssets().style)
	require.Contains(t, style.header.Get("Cache-Control"), "immutable")
	require.Equal(t, http.StatusNotFound, v.get("/assets/none.css").status)
}

// The invented season lies apart from one's own data.
func TestTheInventedSeasonIsApart(t *testing.T) {
	t.Parallel()
	own := empty(t)
	opened := 0
	v := visit(t, serve(t, own, Options{Demo: opener(t, &opened)}))
	require.Contains(t, v.get("/").body, `href="/demo/"`)
	page := v.get("/demo/")
	require.Contains(t, page.body, "This season is invented")
	require.Contains(t, page.body, `href="/demo/voyage/demo-season/ashore"`)
	require.Equal(t, http.StatusOK, v.get("/demo"+shopPath).status)
	require.Equal(t, http.StatusNotFound, v.get(shopPath).status, "it is not among one's own")
	require.Equal(t, 1, opened)
	all, err := own.Voyages(ctx)
	require.NoError(t, err)
	require.Empty(t, all)
}
