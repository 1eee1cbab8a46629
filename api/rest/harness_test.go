package rest_test

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"net/http"
	"net/http/httptest"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/google/uuid"
	"github.com/pb33f/libopenapi"
	validator "github.com/pb33f/libopenapi-validator"
	"github.com/stretchr/testify/require"

	"hardtack/api"
	"hardtack/api/rest"
	"hardtack/db"
	"hardtack/db/dbtest"
	"hardtack/seed"
)

var world = sync.OnceValues(func() (*api.World, error) { return api.LoadWorld(seed.FS) })

// today of every test.
var noon = time.Date(2026, 6, 15, 12, 0, 0, 0, time.UTC)

// client talks to a running server and holds every answer against the
// document.
type client struct {
	t    *testing.T
	url  string
	svc  *api.Service
	spec validator.Validator
	db   *db.DB
}

// change is the number of the last change to anything.
func (c *client) change() int64 {
	c.t.Helper()
	n, err := c.db.Change(c.t.Context())
	require.NoError(c.t, err)
	return n
}

func serve(t *testing.T, o rest.Options) *client {
	t.Helper()
	return serveOn(t, dbtest.SQLite, o)
}

func serveOn(t *testing.T, e dbtest.Engine, o rest.Options) *client {
	t.Helper()
	return serveWith(t, e, api.Options{Now: func() time.Time { return noon }}, o)
}

func serveWith(t *testing.T, e dbtest.Engine, ao api.Options, o rest.Options) *client {
	t.Helper()
	w, err := world()
	require.NoError(t, err)
	if o.Fault == nil {
		o.Fault = func(method, path string, err error) { t.Errorf("%s %s: %v", method, path, err) }
	}
	d := dbtest.Open(t, e)
	svc := api.New(d, w, ao)
	s := httptest.NewServer(rest.New(svc, o))
	t.Cleanup(s.Close)
	return &client{t, s.URL, svc, spec(t), d}
}

func spec(t *testing.T) validator.Validator {
	t.Helper()
	doc, err := libopenapi.NewDocument(rest.Document())
	require.NoError(t, err)
	v, errs := validator.NewValidator(doc)
	require.Empty(t, errs)
	return v
}

// answer is a response read to its end.
type answer struct {
	t      *testing.T
	status int
	header http.Header
	body   []byte
}

func (c *client) send(r *http.Request) answer {
	c.t.Helper()
	resp, err := http.DefaultClient.Do(r)
	require.NoError(c.t, err)
	defer resp.Body.Close()
	body, err := io.ReadAll(resp.Body)
	require.NoError(c.t, err)
	c.check(r, resp, body)
	return answer{c.t, resp.StatusCode, resp.Header, body}
}

// check holds an answer against the document; problems always, the rest where
// the document has the path.
func (c *client) check(r *http.Request, resp *http.Response, body []byte) {
	c.t.Helper()
	if resp.StatusCode >= 400 {
		require.Equal(c.t, "application/problem+json", resp.Header.Get("Content-Type"), "%s", body)
		require.True(c.t, json.Valid(body))
	}
	if resp.StatusCode == http.StatusNotModified || resp.StatusCode == http.StatusNoContent || r.Method == http.MethodHead {
		require.Empty(c.t, body)
		return
	}
	if resp.StatusCode == http.StatusNotFound || resp.StatusCode == http.StatusMethodNotAllowed {
		return // perhaps no path of the document at all
	}
	resp.Body = io.NopCloser(bytes.NewReader(body))
	plain, err := http.NewRequest(r.Method, r.URL.String(), nil)
	require.NoError(c.t, err)
	if ok, faults := c.spec.ValidateHttpResponse(plain, resp); !ok {
		for _, f := range faults {
			c.t.Errorf("%s %s: %s: %s", r.Method, r.URL.Path, f.Message, f.Reason)
			for _, s := range f.SchemaValidationErrors {
				c.t.Errorf("  %s at %s", s.Reason, s.FieldPath)
			}
		}
		c.t.Errorf("%.2000s", body)
	}
}

func (c *client) request(method, path string, body any, headers ...string) *http.Request {
	c.t.Helper()
	var r io.Reader
	contentType := "application/json"
	switch b := body.(type) {
	case nil:
		contentType = ""
	case string:
		r = strings.NewReader(b)
	default:
		text, err := json.Marshal(b)
		require.NoError(c.t, err)
		r = bytes.NewReader(text)
	}
	req, err := http.NewRequest(method, c.url+path, r)
	require.NoError(c.t, err)
	if contentType != "" {
		req.Header.Set("Content-Type", contentType)
	}
	for i := 0; i+1 < len(headers); i += 2 {
		req.Header.Set(headers[i], headers[i+1])
		if headers[i] == "Host" {
			req.Host = headers[i+1]
		}
	}
	return req
}

func (c *client) do(method, path string, body any, headers ...string) answer {
	c.t.Helper()
	return c.send(c.request(method, path, body, headers...))
}

func (a answer) want(status int) answer {
	a.t.Helper()
	require.Equal(a.t, status, a.status, "%.3000s", a.body)
	return a
}

func (a answer) into(v any) answer {
	a.t.Helper()
	require.NoError(a.t, json.Unmarshal(a.body, v), "%s", a.body)
	return a
}

// problem is what clients read of a problem document.
type problem struct {
	Type   string
	Status int
	Detail string
	Errors []api.Fault
}

func (a answer) problem(status int) problem {
	a.t.Helper()
	a.want(status)
	var p problem
	a.into(&p)
	require.Equal(a.t, status, p.Status)
	return p
}

// at is the fault of a path; there must be exactly that one.
func (p problem) at(t *testing.T, path string) api.Fault {
	t.Helper()
	require.Len(t, p.Errors, 1, "%+v", p)
	require.Equal(t, path, p.Errors[0].Path, "%+v", p)
	return p.Errors[0]
}

type object = map[string]any

func id(n int) string { return uuid.NewSHA1(uuid.NameSpaceURL, fmt.Append(nil, n)).String() }

// coffee is a report nothing is wrong with.
func coffee() object {
	return object{
		"port": "PTHOR", "item": someItem, "day": "2026-06-01", "found": "yes", "amount": "4.49", "currency": "EUR",
		"pack": "250 g", "reporter": "r1", "source": "shelf",
	}
}

// someItem is counted in kilograms, someMilk in litres.
const (
	someItem = "rice_white"
	someMilk = "milk_uht"
)

func with(o object, changes ...any) object {
	out := object{}
	for k, v := range o {
		out[k] = v
	}
	for i := 0; i+1 < len(changes); i += 2 {
		if changes[i+1] == nil {
			delete(out, changes[i].(string))
			continue
		}
		out[changes[i].(string)] = changes[i+1]
	}
	return out
}
