// Package web is the pages: the phone at the shelf, the chart table, the sheet
// of paper. They are made on the server, work without script, ask nothing of
// any other server, and do nothing that api.Service does not offer.
package web

import (
	"context"
	"net/http"
	"strings"
	"sync"

	"hardtack/api"
	"hardtack/api/guard"
)

// Options of the pages; the zero value takes every default.
type Options struct {
	// Hosts are the names the server answers to, see guard.Hosts.
	Hosts guard.Hosts
	// Plan says how long a plan may take.
	Plan api.PlanOptions
	// Invented marks every page as showing invented data.
	Invented bool
	// Demo opens a database of its own with the invented season; nil: none is
	// offered. It is called once, when somebody first asks to see it.
	Demo func(context.Context) (*api.Service, error)
	// Fault is told what went wrong inside. Default: nobody.
	Fault func(method, path string, err error)
}

// site is the pages over one database.
type site struct {
	svc      *api.Service
	opts     Options
	base     string // before every path: "" or "/demo"
	invented bool
	shown    *templates
	assets   *assets
	pending  *pending // files looked at before they are taken
	walked   *walked
}

// New is the handler of every page. It panics when what is embedded is broken,
// which a test finds.
func New(svc *api.Service, o Options) http.Handler {
	a := loadAssets()
	own := &site{svc: svc, opts: o, invented: o.Invented, shown: loadTemplates(a, svc.World().Catalogue.Words), assets: a, pending: &pending{}, walked: &walked{}}
	mux := http.NewServeMux()
	mux.Handle("GET "+assetPath+"{name}", a)
	mux.Handle("/", own.handler())
	if o.Demo != nil {
		mux.Handle("/demo/", &later{own: own})
	}
	return headers(o.Hosts, mux)
}

// later is the invented season, opened when it is first asked for.
type later struct {
	own    *site
	mu     sync.Mutex
	opened http.Handler
}

// ServeHTTP opens the season if need be. One that cannot be opened is tried
// again with the next request.
func (l *later) ServeHTTP(w http.ResponseWriter, r *http.Request) {
	l.mu.Lock()
	if l.opened == nil {
		svc, err := l.own.opts.Demo(context.WithoutCancel(r.Context()))
		if err != nil {
			l.mu.Unlock()
			l.own.serve(func(*request) error { return err })(w, r)
			return
		}
		demo := *l.own
		demo.svc, demo.base, demo.invented, demo.pending, demo.walked = svc, "/demo", true, &pending{}, &walked{}
		l.opened = http.StripPrefix("/demo", demo.handler())
	}
	h := l.opened
	l.mu.Unlock()
	h.ServeHTTP(w, r)
}

// endpoint is one path of the pages.
type endpoint struct {
	pattern string
	handle  func(*request) error
}

func (s *site) handler() http.Handler {
	mux := http.NewServeMux()
	for _, rt := range s.routes() {
		mux.HandleFunc(rt.pattern, s.serve(rt.handle))
	}
	mux.HandleFunc("/", s.serve(func(*request) error { return api.ErrNotFound }))
	return mux
}

// policy lets a page load what this server serves, and run nothing else.
const policy = "default-src 'none'; style-src 'self'; script-src 'self'; img-src 'self'; connect-src 'self'; " +
	"form-action 'self'; base-uri 'none'; frame-ancestors 'none'"

func headers(hosts guard.Hosts, next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		h := w.Header()
		h.Set("X-Content-Type-Options", "nosniff")
		h.Set("Content-Security-Policy", policy)
		h.Set("Referrer-Policy", "same-origin") // no "null" as Origin of our own forms
		h.Set("Cross-Origin-Opener-Policy", "same-origin")
		h.Set("Cache-Control", "no-cache") // keep it, but ask before using it
		switch {
		case !hosts.Ours(r.Host):
			http.Error(w, "This server does not answer to that name. Start it with --host NAME to use one.", http.StatusMisdirectedRequest)
		case !guard.Safe(r.Method) && !guard.OwnForm(r):
			http.Error(w, "Refused: this was not sent by a page of this server. Nothing was changed.", http.StatusForbidden)
		default:
			next.ServeHTTP(w, r)
		}
	})
}

// serve makes an HTTP handler of a page's.
func (s *site) serve(handle func(*request) error) http.HandlerFunc {
	return func(w http.ResponseWriter, r *http.Request) {
		q := s.request(w, r)
		defer func() {
			if p := recover(); p != nil {
				q.fail(panicked(p))
			}
		}()
		if err := handle(q); err != nil {
			q.fail(err)
		}
	}
}

// at is an address inside the site.
func (s *site) at(path ...string) string { return s.base + "/" + strings.Join(path, "/") }
