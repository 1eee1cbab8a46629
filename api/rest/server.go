// Package rest is the JSON API under /v1: a thin skin over api.Service, told
// in openapi.yaml. Errors are problem documents (RFC 9457). Wire types that
// are not a file format of their own stay in this package.
package rest

import (
	"net/http"
	"runtime/debug"
	"time"

	"github.com/labstack/echo/v4"

	"hardtack/api"
	"hardtack/api/guard"
)

// Options of the server; the zero value takes every default.
type Options struct {
	// Hosts are the names the server answers to, without port, beside those of
	// this machine (localhost, loopback addresses). To no other, so that no
	// page of another site can reach a boat's server by a name of its own.
	Hosts []string
	// Proxies are those in front of the server. Default: none, and no header
	// says where a call comes from.
	Proxies guard.Proxies
	// MaxBody is the largest JSON body in bytes; default 4 MB. Files (CSV,
	// GPX) may be three times as large.
	MaxBody int64
	// PlanTime is the longest a plan may take; default 60 s.
	PlanTime time.Duration
	// Shared makes it a server of many boats, with accounts. Nil: whoever
	// reaches it may do everything.
	Shared *Shared
	// Leaving says that the server is about to stop: it answers, but is not
	// ready. Default: never.
	Leaving func() bool
	// Seen is told of every request once it is answered. Default: nobody.
	Seen func(Seen)
	// Fault is told what went wrong inside; the client is only told that
	// something did. Default: nobody.
	Fault func(method, path string, err error)
}

const (
	defaultMaxBody  = 4 << 20
	defaultPlanTime = time.Minute
	filesTimes      = 3
)

type server struct {
	svc  *api.Service
	opts Options
	gate *gate // nil without accounts
}

// New is the handler of everything under /v1, /healthz and /readyz.
func New(svc *api.Service, o Options) http.Handler {
	if o.MaxBody == 0 {
		o.MaxBody = defaultMaxBody
	}
	if o.PlanTime == 0 {
		o.PlanTime = defaultPlanTime
	}
	s := &server{svc, o, newGate(o.Shared)}
	e := echo.New()
	e.HTTPErrorHandler = s.fail
	e.IPExtractor = o.Proxies.Caller // a header says who is asking only where a proxy of ours wrote it
	e.Pre(s.onlyOurHost)
	e.Use(s.seen, s.recovered, headers)
	s.routes(e)
	return e
}

func headers(next echo.HandlerFunc) echo.HandlerFunc {
	return func(c echo.Context) error {
		h := c.Response().Header()
		h.Set("X-Content-Type-Options", "nosniff")
		h.Set("Cache-Control", "no-cache") // keep it, but ask before using it
		h.Set("Content-Security-Policy", "default-src 'none'; base-uri 'none'; frame-ancestors 'none'")
		h.Set("Referrer-Policy", "no-referrer")
		return next(c)
	}
}

// onlyOurHost keeps out pages that reach the server by a name of their own
// (DNS rebinding), and requests that pages of other sites send.
func (s *server) onlyOurHost(next echo.HandlerFunc) echo.HandlerFunc {
	return func(c echo.Context) error {
		r := c.Request()
		if !guard.Hosts(s.opts.Hosts).Ours(r.Host) {
			return echo.NewHTTPError(http.StatusMisdirectedRequest, "this server does not answer to the name "+quote(r.Host))
		}
		if o := r.Header.Get("Origin"); o != "" && !guard.Safe(r.Method) && !guard.SameOrigin(o, r.Host) {
			return echo.NewHTTPError(http.StatusForbidden, "sent by a page of another site: "+quote(o))
		}
		return next(c)
	}
}

func (s *server) recovered(next echo.HandlerFunc) echo.HandlerFunc {
	return func(c echo.Context) (err error) {
		defer func() {
			if p := recover(); p != nil {
				err = panicked{p, debug.Stack()}
			}
		}()
		return next(c)
	}
}
