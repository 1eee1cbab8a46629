package web

import (
	"bytes"
	"context"
	"errors"
	"io"
	"io/fs"
	"mime/multipart"
	"net/http"
	"net/http/cookiejar"
	"net/http/httptest"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"hardtack/api"
	"hardtack/db"
	"hardtack/route/plan"
	"hardtack/seed"
)

var (
	world = sync.OnceValues(func() (*api.World, error) { return api.LoadWorld(seed.FS) })
	ctx   = context.Background()
)

// demoDay is the demo's fixed today, the start of its voyage.
var demoDay = time.Date(2026, 9, 5, 9, 0, 0, 0, time.UTC)

// quick is a plan good enough to look at.
var quick = api.PlanOptions{Budget: plan.Budget{Work: 20_000}}

// empty is a service with nothing in it.
func empty(t testing.TB) *api.Service {
	t.Helper()
	return over(t, filepath.Join(t.TempDir(), "boat.db"))
}

func over(t testing.TB, file string) *api.Service {
	t.Helper()
	w, err := world()
	require.NoError(t, err)
	d, err := db.Open(ctx, file)
	require.NoError(t, err)
	t.Cleanup(func() { require.NoError(t, d.Close()) })
	return api.New(d, w, api.Options{Now: func() time.Time { return demoDay }})
}

// demoFile is the demo season, loaded and planned once for all tests.
var demoFile = sync.OnceValues(func() ([]byte, error) {
	dir, err := os.MkdirTemp("", "hardtack-pages-")
	if err != nil {
		return nil, err
	}
	defer os.RemoveAll(dir)
	w, err := world()
	if err != nil {
		return nil, err
	}
	file := filepath.Join(dir, "demo.db")
	d, err := db.Open(ctx, file)
	if err != nil {
		return nil, err
	}
	s := api.New(d, w, api.Options{Now: func() time.Time { return demoDay }})
	files, err := fs.Sub(seed.FS, "demo")
	if err != nil {
		return nil, err
	}
	id, err := s.LoadSeason(ctx, files)
	if err == nil {
		_, err = s.Plan(ctx, id, quick)
	}
	if err := errors.Join(err, d.Close()); err != nil {
		return nil, err
	}
	return os.ReadFile(file)
})

// invented is a service of its own with the demo season, planned.
func invented(t testing.TB) *api.Service {
	t.Helper()
	body, err := demoFile()
	require.NoError(t, err)
	file := filepath.Join(t.TempDir(), "demo.db")
	require.NoError(t, os.WriteFile(file, body, 0o600))
	return over(t, file)
}

// planOf is the plan of the demo season.
func planOf(t testing.TB, svc *api.Service) api.Planned {
	t.Helper()
	k, err := svc.LastPlan(ctx, "demo-season")
	require.NoError(t, err)
	return k.Value
}

const demoVoyage = "/voyage/demo-season"

// serve runs the pages; a fault inside them fails the test.
func serve(t testing.TB, svc *api.Service, o Options) string {
	t.Helper()
	o.Plan = quick
	o.Fault = func(method, path string, err error) { t.Errorf("%s %s: %v", method, path, err) }
	s := httptest.NewServer(New(svc, o))
	t.Cleanup(s.Close)
	return s.URL
}

// visitor talks to the pages without script: it follows links and sends forms.
type visitor struct {
	t    testing.TB
	base string
	http.Client
}

func visit(t testing.TB, base string) *visitor {
	jar, err := cookiejar.New(nil)
	require.NoError(t, err)
	return &visitor{t, base, http.Client{Jar: jar}}
}

type answer struct {
	status int
	header http.Header
	body   string
	url    *url.URL
}

func (v *visitor) do(method, path string, body io.Reader, headers ...string) answer {
	v.t.Helper()
	r, err := http.NewRequest(method, v.base+path, body)
	require.NoError(v.t, err)
	if method == http.MethodPost {
		r.Header.Set("Origin", v.base)
		r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	}
	for i := 0; i+1 < len(headers); i += 2 {
		if headers[i] == "Host" {
			r.Host = headers[i+1]
		}
		r.Header.Set(headers[i], headers[i+1])
	}
	resp, err := v.Do(r)
	require.NoError(v.t, err)
	defer resp.Body.Close()
	text, err := io.ReadAll(resp.Body)
	require.NoError(v.t, err)
	return answer{resp.StatusCode, resp.Header, string(text), resp.Request.URL}
}

func (v *visitor) get(path string) answer {
	v.t.Helper()
	return v.do(http.MethodGet, path, nil)
}

func (v *visitor) post(path string, fields url.Values) answer {
	v.t.Helper()
	return v.do(http.MethodPost, path, strings.NewReader(fields.Encode()))
}

// sendFile sends a file to be looked at, as a browser does.
func (v *visitor) sendFile(path, name, text string) answer {
	v.t.Helper()
	var form bytes.Buffer
	w := multipart.NewWriter(&form)
	part, err := w.CreateFormFile("csv", name)
	require.NoError(v.t, err)
	_, err = part.Write([]byte(text))
	require.NoError(v.t, err)
	require.NoError(v.t, w.WriteField("do", "look"))
	require.NoError(v.t, w.Close())
	return v.do(http.MethodPost, path, &form, "Content-Type", w.FormDataContentType())
}

// opener opens the invented season, counting how often.
func opener(t testing.TB, opened *int) func(context.Context) (*api.Service, error) {
	return func(context.Context) (*api.Service, error) {
		*opened++
		return invented(t), nil
	}
}
