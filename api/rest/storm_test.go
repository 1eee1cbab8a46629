package rest_test

import (
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"net/http"
	"net/url"
	"os"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"hardtack/api"
	"hardtack/api/access"
	"hardtack/api/exchange"
	"hardtack/api/rest"
	"hardtack/db/dbtest"
)

// bodies are a good request of every operation that takes one.
func bodies() map[string]any {
	lot := object{"item": someItem, "space": "bilge", "amount": "1 kg"}
	return map[string]any{
		"POST /v1/reports":                         object{"reports": []object{coffee()}},
		"PUT /v1/reports/{report}":                 coffee(),
		"POST /v1/reports/{report}/withdrawal":     object{"reporter": "r1", "day": "2026-06-01"},
		"POST /v1/receipts":                        object{"port": "PTHOR", "day": "2026-06-01", "currency": "EUR", "reporter": "r1", "lines": []object{{"item": someItem, "amount": "1", "pack": "1 kg"}}},
		"POST /v1/imports":                         "report,port\n",
		"POST /v1/exchange":                        exchangeMessage(),
		"POST /v1/accounts":                        object{"name": "sula", "role": "skipper", "password": somePassword, "invitation": "x"},
		"PUT /v1/accounts/{account}/state":         object{"state": "suspended"},
		"POST /v1/logins":                          object{"name": "sula", "password": "x"},
		"PUT /v1/account/password":                 object{"old": "x", "password": somePassword},
		"POST /v1/account/second-factor":           object{"password": "x"},
		"PUT /v1/account/second-factor":            object{"code": "123456"},
		"POST /v1/account/second-factor/removal":   object{"password": "x", "code": "123456"},
		"POST /v1/keys":                            object{"label": "galley", "scopes": []string{"reports"}, "days": 3},
		"POST /v1/invitations":                     object{"role": "boat", "days": 3},
		"PUT /v1/doubtful/{report}":                object{"verdict": "keep"},
		"POST /v1/estimates":                       object{"pairs": []object{{"port": "PTHOR", "item": someItem, "day": "2026-06-01"}}},
		"PUT /v1/rates/{currency}/{day}":           object{"per_reference": 1.5, "source": "invented"},
		"PUT /v1/ports/{port}":                     object{"name": "Cove", "country": "PT", "currency": "EUR", "position": object{"lat": 38.5, "lon": -28.5}},
		"PUT /v1/vessels/{vessel}":                 vessel(),
		"PUT /v1/vessels/{vessel}/aboard":          object{"lots": []object{lot}},
		"POST /v1/vessels/{vessel}/aboard/changes": object{"add": []object{lot}, "remove": []string{"x"}},
		"PUT /v1/vessels/{vessel}/aboard/count":    "item,space,amount\n",
		"PUT /v1/vessels/{vessel}/lockers":         object{"lockers": []object{{"id": "bin", "space": "saloon", "litres": 20}}},
		"POST /v1/vessels/{vessel}/moves":          object{"kind": "bought", "item": someItem, "amount": "1 kg", "to": "bilge", "paid": "2.50", "currency": "EUR"},
		"POST /v1/vessels/{vessel}/log":            object{"kind": "water level", "amount": 200, "day": "2026-06-01"},
		"POST /v1/voyages/{voyage}/replan":         object{"seconds": 0.1},
		"POST /v1/voyages/{voyage}/binds":          object{"work": 10},
		"POST /v1/voyages/{voyage}/shelf":          object{"stop": 0, "prices": []object{{"item": someItem, "price": "1.99"}}},
		"POST /v1/voyages/{voyage}/risk":           object{"walks": 10},
		"PUT /v1/crews/{crew}":                     crew(),
		"POST /v1/voyages/from-gpx":                `<gpx version="1.1"><rte><rtept lat="38.5" lon="-28.6"/></rte></gpx>`,
		"PUT /v1/voyages/{voyage}":                 voyage(),
		"PUT /v1/voyages/{voyage}/settings":        object{"vessel": "mine", "wishes": []object{{"item": someItem, "never": true}}},
		"POST /v1/voyages/{voyage}/plan":           object{"seconds": 0.1},
		"PUT /v1/stores-lists/{list}":              "people,4\ndays,10\nitem,amount\n" + someItem + ",3 kg\n",
		"POST /v1/scale":                           object{"people": 3, "days": 12},
	}
}

// exchangeMessage is what a boat sends that has nothing to bring.
func exchangeMessage() string {
	codec, err := exchange.NewCodec()
	if err != nil {
		panic(err)
	}
	b, err := codec.Encode(exchange.Ask{Version: exchange.Version})
	if err != nil {
		panic(err)
	}
	return string(b)
}

var contentTypes = map[string]string{
	"PUT /v1/stores-lists/{list}": "text/csv",
	"POST /v1/exchange":           "application/vnd.hardtack.exchange",
	"POST /v1/imports":            "text/csv", "PUT /v1/vessels/{vessel}/aboard/count": "text/csv", "POST /v1/voyages/from-gpx": "application/gpx+xml",
}

// storm is how many bad requests each operation gets: HARDTACK_STORM, else few
// enough for every day.
func storm() int {
	if n, err := strconv.Atoi(os.Getenv("HARDTACK_STORM")); err == nil {
		return n
	}
	return 40
}

// Bad input of every kind to every operation: a refusal with a problem
// document, never a fault of ours (the harness fails the test on one), and
// never an answer the document does not tell.
func TestBadInputIsNeverOurFault(t *testing.T) {
	t.Parallel()
	blow(t, serve(t, rest.Options{MaxBody: 20_000}), "")
}

// The same on a server of many boats, as a moderator, who may do most.
func TestBadInputIsNeverASharedServersFault(t *testing.T) {
	t.Parallel()
	c := shared(t, api.Open)
	_, moderator := c.admit(access.Moderator, "moderator")
	blow(t, c, moderator)
}

// And on PostgreSQL, which takes fewer texts than a file does.
func TestBadInputIsNeverPostgresFault(t *testing.T) {
	t.Parallel()
	c := sharedOn(t, dbtest.Postgres, api.Open)
	_, moderator := c.admit(access.Moderator, "moderator")
	blow(t, c, moderator)
}

func blow(t *testing.T, c *client, auth string) {
	t.Helper()
	if auth == "" {
		c.do("PUT", "/v1/vessels/mine", vessel()).want(http.StatusOK)
	}
	samples := bodies()
	for k, op := range operations(t) {
		method, path, _ := strings.Cut(op, " ")
		sample, takes := samples[op]
		delete(samples, op)
		if method == "PUT" || method == "POST" {
			require.True(t, takes, "%s: give it a good body", op)
		}
		if op == "DELETE /v1/account" && auth != "" {
			continue // would end the one who calls
		}
		r := rand.New(rand.NewPCG(uint64(k), 0))
		for range storm() {
			var body any
			if takes {
				body = spoil(r, sample)
			}
			req := c.spoilt(r, op, method, path, body)
			if auth != "" {
				req.Header.Set("Authorization", auth)
			}
			a := c.send(req)
			require.Less(t, a.status, 500, "%s %v: %s", op, body, a.body)
		}
	}
	require.Empty(t, samples, "bodies of operations that are not there")
}

// spoilt is a request whose path, query and headers may be bad as well.
func (c *client) spoilt(r *rand.Rand, op, method, path string, body any) *http.Request {
	words := []string{"mine", "PTHOR", id(1), "", "%00", "%ff", "..", "a%2fb", "-1", "9999999999999999999999", strings.Repeat("a", 3000), "%F0%9F%98%80", "';--", "EUR", "2026-06-01"}
	for strings.Contains(path, "{") {
		before, rest, _ := strings.Cut(path, "{")
		_, after, _ := strings.Cut(rest, "}")
		path = before + words[r.IntN(len(words))] + after
	}
	if r.IntN(2) == 0 {
		names := []string{"port", "item", "since", "limit", "after", "day", "q", "near", "stop", "format", "from", "need", "dry_run", "x"}
		for range 1 + r.IntN(3) {
			sep := "?"
			if strings.Contains(path, "?") {
				sep = "&"
			}
			path += sep + names[r.IntN(len(names))] + "=" + []string{"", "1", "-1", "1e9", "NaN", "NaN,NaN", "91,0", "38,-28", "%00", "%ff", "true", "json", "2026-06-01", someItem, "PTHOR"}[r.IntN(15)]
		}
	}
	if _, err := url.Parse(c.url + path); err != nil {
		path = "/v1/nothing"
	}
	req := c.request(method, path, body)
	if t := contentTypes[op]; t != "" && r.IntN(5) > 0 {
		req.Header.Set("Content-Type", t)
	}
	for name, values := range map[string][]string{
		"If-Match": {`"1"`, "*", "x", `"-1"`, `W/"1"`, `""`}, "If-None-Match": {"*", "x", `"1"`}, "Content-Type": {"text/html", "application/json;"},
	} {
		if r.IntN(6) == 0 {
			req.Header.Set(name, values[r.IntN(len(values))])
		}
	}
	return req
}

// spoil makes a bad text of a good body; now and then it is left good.
func spoil(r *rand.Rand, body any) string {
	text, isText := body.(string)
	if !isText {
		var v any
		good, _ := json.Marshal(body)
		_ = json.Unmarshal(good, &v)
		if r.IntN(3) > 0 {
			v = spoilValue(r, v)
		}
		bad, _ := json.Marshal(v)
		text = string(bad)
	}
	for range r.IntN(3) {
		at := r.IntN(len(text) + 1)
		text = text[:at] + []string{"", "\xff", "\x00", "NaN", "1e999", strings.Repeat("[", 500), "\"", ",", "}", strings.Repeat("9", 400), "\n", "é", "{\"a\":1,\"a\":2}"}[r.IntN(13)] + text[at:]
	}
	return text
}

func spoilValue(r *rand.Rand, v any) any {
	bad := []any{nil, true, -1.0, 0.0, 1e300, "", "x", strings.Repeat("é", 5000), []any{}, object{}, []any{nil}, "2026-13-45", "-5", "NaN", "\u0000", 1.5}
	switch v := v.(type) {
	case map[string]any:
		for k := range v {
			if r.IntN(len(v)) == 0 {
				v[k] = spoilValue(r, v[k])
			}
		}
		if r.IntN(8) == 0 {
			v[fmt.Sprint("x", r.IntN(9))] = 1
		}
		return v
	case []any:
		if len(v) > 0 && r.IntN(3) > 0 {
			v[r.IntN(len(v))] = spoilValue(r, v[r.IntN(len(v))])
			return v
		}
	}
	return bad[r.IntN(len(bad))]
}
