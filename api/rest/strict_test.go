package rest_test

import (
	"bytes"
	"encoding/json"
	"net/http"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/require"

	"hardtack/api/rest"
)

func TestBodiesAreReadStrictly(t *testing.T) {
	t.Parallel()
	c := serve(t, rest.Options{})
	good, err := json.Marshal(coffee())
	require.NoError(t, err)
	body := string(good)
	for name, bad := range map[string]string{
		"unknown key":        `{"prot":"PTHOR",` + body[1:],
		"key twice":          `{"port":"GBPLY",` + body[1:],
		"key twice by case":  `{"PORT":"GBPLY",` + body[1:],
		"two values":         body + body,
		"text after":         body + "x",
		"half":               body[:len(body)/2],
		"nothing":            "",
		"space":              "  ",
		"list":               "[" + body + "]",
		"number for text":    strings.Replace(body, `"PTHOR"`, "7", 1),
		"NaN":                strings.Replace(body, `"r1"`, "NaN", 1),
		"not UTF-8":          strings.Replace(body, "r1", "r\xff", 1),
		"deep":               strings.Replace(body, `"r1"`, strings.Repeat("[", 5000)+strings.Repeat("]", 5000), 1),
		"overflow":           `{"quality":1e999,` + body[1:],
		"fraction":           `{"quality":1.5,` + body[1:],
		"large whole number": `{"quality":99999999999999999999,` + body[1:],
		"bad day":            strings.Replace(body, "2026-06-01", "1 June", 1),
		"UTF-16":             "\xff\xfe{\x00}\x00",
		"byte order mark":    "\xef\xbb\xbf" + body,
	} {
		p := c.do("PUT", "/v1/reports/"+id(1), bad).problem(http.StatusBadRequest)
		require.NotEmpty(t, p.Detail, name)
	}
	require.Empty(t, reports(c, ""))
	c.do("PUT", "/v1/reports/"+id(1), body).want(http.StatusCreated)
}

func TestContentTypesAreReadStrictly(t *testing.T) {
	t.Parallel()
	c := serve(t, rest.Options{})
	for _, contentType := range []string{"text/plain", "application/x-www-form-urlencoded", "application/json; charset=latin1", "json", ""} {
		r := c.request("PUT", "/v1/reports/"+id(1), coffee())
		r.Header.Set("Content-Type", contentType)
		c.send(r).problem(http.StatusUnsupportedMediaType)
	}
	c.do("PUT", "/v1/reports/"+id(1), coffee(), "Content-Encoding", "gzip").problem(http.StatusUnsupportedMediaType)
	c.do("PUT", "/v1/reports/"+id(1), coffee(), "Content-Type", "application/json; charset=UTF-8").want(http.StatusCreated)
}

func TestLargeBodiesAreRefused(t *testing.T) {
	t.Parallel()
	c := serve(t, rest.Options{MaxBody: 10_000})
	c.do("PUT", "/v1/reports/"+id(1), with(coffee(), "note", strings.Repeat("x", 10_000))).problem(http.StatusRequestEntityTooLarge)
	c.do("POST", "/v1/voyages/from-gpx", strings.Repeat("x", 200_000), "Content-Type", "application/gpx+xml").problem(http.StatusRequestEntityTooLarge)
}

func TestUnknownPathsAndMethods(t *testing.T) {
	t.Parallel()
	c := serve(t, rest.Options{})
	for _, path := range []string{"/", "/v1", "/v1/nothing", "/v2/reports", "/v1/reports/a/b/c", "/v1/../etc/passwd", "/v1/vessels/%2e%2e", "/v1/vessels/%00", "/v1/vessels/%ff"} {
		c.do("GET", path, nil).problem(http.StatusNotFound)
	}
	c.do("DELETE", "/v1/reports", nil).problem(http.StatusMethodNotAllowed)
	c.do("PATCH", "/v1/vessels/a", object{}).problem(http.StatusMethodNotAllowed)
	for _, bad := range []string{"%00", "%ff", "a%2fb", ".hidden", strings.Repeat("a", 65), "%20"} {
		p := c.do("PUT", "/v1/vessels/"+bad, vessel())
		require.Contains(t, []int{http.StatusUnprocessableEntity, http.StatusNotFound}, p.status, "%s: %s", bad, p.body)
	}
}

func TestOnlyOurHostIsAnswered(t *testing.T) {
	t.Parallel()
	c := serve(t, rest.Options{Hosts: []string{"Boat.example"}})
	for _, host := range []string{"localhost", "localhost:99", "127.0.0.1", "127.0.0.9:1", "[::1]:80", "boat.example", "BOAT.example:8080"} {
		c.do("GET", "/healthz", nil, "Host", host).want(http.StatusOK)
	}
	for _, host := range []string{"evil.example", "127.0.0.1.evil.example", "192.0.2.1", "boat.example.evil.example", "localhost.evil"} {
		c.do("GET", "/healthz", nil, "Host", host).problem(http.StatusMisdirectedRequest)
	}
}

func TestPagesOfOtherSitesMayNotWrite(t *testing.T) {
	t.Parallel()
	c := serve(t, rest.Options{})
	path := "/v1/reports/" + id(1)
	for _, origin := range []string{"http://evil.example", "null", "https://127.0.0.1:1"} {
		c.do("PUT", path, coffee(), "Origin", origin).problem(http.StatusForbidden)
	}
	require.Empty(t, reports(c, ""))
	c.do("PUT", path, coffee(), "Origin", c.url).want(http.StatusCreated)
}

func TestEveryAnswerSaysHowToTreatIt(t *testing.T) {
	t.Parallel()
	c := serve(t, rest.Options{})
	for path, status := range map[string]int{"/healthz": http.StatusOK, "/v1/items": http.StatusOK, "/nothing": http.StatusNotFound, "/v1/reports?limit=x": http.StatusUnprocessableEntity} {
		h := c.do("GET", path, nil, "Origin", "http://evil.example").want(status).header
		require.Equal(t, "nosniff", h.Get("X-Content-Type-Options"), path)
		require.Equal(t, "no-cache", h.Get("Cache-Control"), path)
		require.Equal(t, "no-referrer", h.Get("Referrer-Policy"), path)
		require.Equal(t, "default-src 'none'; base-uri 'none'; frame-ancestors 'none'", h.Get("Content-Security-Policy"), path)
		for name := range h {
			require.NotContains(t, name, "Access-Control", "no other site may read an answer")
		}
		require.Empty(t, h.Values("Set-Cookie"))
	}
}

// A parameter that is given twice, or that is not known, is refused: none of
// the two is taken for the other.
func TestAParameterTwice(t *testing.T) {
	t.Parallel()
	c := serve(t, rest.Options{})
	c.do("GET", "/v1/reports?port=PTHOR", nil).want(http.StatusOK)
	c.do("GET", "/v1/reports?port=PTHOR&port=ESLPA", nil).problem(http.StatusUnprocessableEntity).at(t, "port")
	c.do("GET", "/v1/reports?port=PTHOR&prot=ESLPA", nil).problem(http.StatusUnprocessableEntity).at(t, "prot")
	c.do("GET", "/v1/reports?port=PTHOR;port=ESLPA", nil).problem(http.StatusUnprocessableEntity)
}

// Names in a path are read once: what is still escaped then is part of the name.
func TestNamesAreDecodedOnce(t *testing.T) {
	t.Parallel()
	c := serve(t, rest.Options{})
	c.do("PUT", "/v1/vessels/ab", vessel()).want(http.StatusOK)
	c.do("GET", "/v1/vessels/a%2562", nil).problem(http.StatusNotFound)
	c.do("PUT", "/v1/vessels/a%2562", vessel()).problem(http.StatusUnprocessableEntity)
}

// Entities of an XML file are nobody's business: none is looked up or grown.
func TestEntitiesOfXMLAreNotTaken(t *testing.T) {
	t.Parallel()
	c := serve(t, rest.Options{})
	const point = `<gpx version="1.1"><rte><name>&x;</name><rtept lat="38.5" lon="-28.6"><name>&x;</name></rtept></rte></gpx>`
	for _, head := range []string{
		`<!DOCTYPE gpx [<!ENTITY x SYSTEM "file:///etc/hostname">]>`, `<!DOCTYPE gpx [<!ENTITY x "grown">]>`,
		`<!DOCTYPE gpx [<!ENTITY y "grown"><!ENTITY x "&y;&y;&y;">]>`, `<!DOCTYPE gpx SYSTEM "http://127.0.0.1:1/x.dtd">`,
	} {
		a := c.do("POST", "/v1/voyages/from-gpx", head+point, "Content-Type", "application/gpx+xml")
		require.GreaterOrEqual(t, a.status, 400, head)
		require.Less(t, a.status, 500, head)
		require.NotContains(t, string(a.body), "grown")
	}
}

// What only reads changes nothing, whatever it is asked.
func TestReadingChangesNothing(t *testing.T) {
	t.Parallel()
	c := serve(t, rest.Options{})
	c.do("PUT", "/v1/vessels/mine", vessel()).want(http.StatusOK)
	c.do("PUT", "/v1/crews/mine", crew()).want(http.StatusOK)
	c.do("PUT", "/v1/voyages/mine", voyage()).want(http.StatusOK)
	c.do("PUT", "/v1/reports/"+id(1), coffee()).want(http.StatusCreated)
	before := c.change()
	for _, route := range rest.Routes() {
		method, path, _ := strings.Cut(route, " ")
		if method != "GET" {
			continue
		}
		path = strings.NewReplacer("{report}", id(1), "{port}", "PTHOR", "{item}", someItem, "{list}", "mine", "{vessel}", "mine", "{voyage}", "mine", "{crew}", "mine").Replace(path)
		c.do("GET", path, nil)
	}
	require.Equal(t, before, c.change())
}

// Whatever is sent, the answer is never a fault of ours, and a problem
// document if it is a refusal.
func FuzzBody(f *testing.F) {
	good, err := json.Marshal(coffee())
	require.NoError(f, err)
	for _, seed := range []string{string(good), "", "{}", "[[[[", `{"a":{"a":1,"A":2}}`, "\"", "null", "1e999", "{\"reports\":null}"} {
		f.Add([]byte(seed))
	}
	f.Fuzz(func(t *testing.T, body []byte) {
		var v struct {
			Reports []map[string]any `json:"reports"`
		}
		err := rest.DecodeStrict(body, &v)
		if err != nil {
			return
		}
		require.True(t, utf8.Valid(body))
		d := json.NewDecoder(bytes.NewReader(body))
		d.DisallowUnknownFields()
		require.NoError(t, d.Decode(&v), "what is taken must be JSON of the type")
	})
}

// What passes every reader and only the database cannot keep is the caller's
// fault too.
func TestATextThatCannotBeKept(t *testing.T) {
	t.Parallel()
	c := serve(t, rest.Options{})
	c.do("PUT", "/v1/vessels/mine", vessel()).want(http.StatusOK)
	lockers := object{"lockers": []object{{"id": "\x00", "space": "saloon", "litres": 20}}}
	c.do("PUT", "/v1/vessels/mine/lockers", lockers).problem(http.StatusUnprocessableEntity)
}
