// Package watch tells an operator how a server does: figures in the text format
// of Prometheus and lines of JSON, without anything secret or anything that says
// where a boat is.
package watch

import (
	"context"
	"database/sql"
	"fmt"
	"io"
	"log/slog"
	"net/http"
	"slices"
	"time"

	"github.com/VictoriaMetrics/metrics"

	"hardtack/api/rest"
)

// Watch counts and logs. It is safe for use by many goroutines.
type Watch struct {
	log      *slog.Logger
	figures  *metrics.Set
	sent     *metrics.Counter
	looked   *metrics.PrometheusHistogram
	underWay *metrics.Gauge
	leaving  *metrics.Gauge
	faults   *metrics.Counter
}

// The upper ends of the classes that times are counted in, in seconds.
var (
	answerTimes = []float64{.001, .003, .01, .03, .1, .3, 1, 3, 10, 60}
	lookTimes   = []float64{.01, .1, 1, 10, 100}
)

var methods = []string{http.MethodGet, http.MethodHead, http.MethodPost, http.MethodPut, http.MethodDelete, http.MethodOptions, http.MethodPatch}

// Lines is a logger of JSON lines, with times in UTC wherever the machine is.
func Lines(w io.Writer) *slog.Logger {
	return slog.New(slog.NewJSONHandler(w, &slog.HandlerOptions{ReplaceAttr: func(_ []string, a slog.Attr) slog.Attr {
		if a.Value.Kind() == slog.KindTime {
			a.Value = slog.TimeValue(a.Value.Time().UTC())
		}
		return a
	}}))
}

// New makes a watch that logs to a logger.
func New(log *slog.Logger) *Watch {
	f := metrics.NewSet()
	return &Watch{
		log: log, figures: f,
		sent:     f.NewCounter("hardtack_sent_bytes_total"),
		looked:   f.NewPrometheusHistogramExt("hardtack_publish_seconds", lookTimes),
		underWay: f.NewGauge("hardtack_requests_under_way", nil),
		leaving:  f.NewGauge("hardtack_leaving", nil),
		faults:   f.NewCounter("hardtack_faults_total"),
	}
}

// Handler gives the figures, those of the process and of Go's runtime too.
func (w *Watch) Handler() http.Handler {
	return http.HandlerFunc(func(out http.ResponseWriter, _ *http.Request) {
		out.Header().Set("Content-Type", "text/plain; version=0.0.4; charset=utf-8")
		w.figures.WritePrometheus(out)
		metrics.WriteProcessMetrics(out)
	})
}

// Seen notes a request that was answered.
func (w *Watch) Seen(s rest.Seen) {
	route := s.Route
	if route == "" {
		route = "none" // whatever was asked for: a label for each would be a flood
	}
	method := s.Method
	if !slices.Contains(methods, method) {
		method = "other" // callers may make up any
	}
	w.figures.GetOrCreateCounter(fmt.Sprintf(`hardtack_requests_total{method=%q,route=%q,status="%d"}`, method, route, s.Status)).Inc()
	w.figures.GetOrCreatePrometheusHistogramExt(fmt.Sprintf(`hardtack_request_seconds{route=%q}`, route), answerTimes).Update(s.Took.Seconds())
	w.sent.AddInt64(s.Bytes)
	level := slog.LevelInfo
	if s.Status >= 500 {
		level = slog.LevelError
	}
	w.log.LogAttrs(context.Background(), level, "answered", slog.String("method", s.Method), slog.String("route", route),
		slog.Int("status", s.Status), slog.Int64("bytes", s.Bytes), slog.Float64("ms", float64(s.Took.Microseconds())/1000), slog.String("account", s.Account))
}

// UnderWay counts the requests that a handler is answering.
func (w *Watch) UnderWay(h http.Handler) http.Handler {
	return http.HandlerFunc(func(out http.ResponseWriter, r *http.Request) {
		w.underWay.Inc()
		defer w.underWay.Dec()
		h.ServeHTTP(out, r)
	})
}

// Database shows how busy the connections to the database are.
func (w *Watch) Database(pool func() sql.DBStats) {
	w.figures.NewGauge("hardtack_database_connections_in_use", func() float64 { return float64(pool().InUse) })
	w.figures.NewGauge("hardtack_database_wait_seconds_total", func() float64 { return pool().WaitDuration.Seconds() })
}

// Leaving notes that the server was asked to stop and goes on for a while.
func (w *Watch) Leaving(on time.Duration) {
	w.leaving.Set(1)
	w.log.Info("leaving", slog.Duration("answers_for", on))
}

// Unwalled warns that the database would show every account's rows to all.
func (w *Watch) Unwalled() {
	w.log.Warn("no second wall between accounts: serve from PostgreSQL as a role that is no superuser, see hardtack migrate --role")
}

// Fault notes what went wrong inside.
func (w *Watch) Fault(method, _ string, err error) {
	w.faults.Inc()
	w.log.Error("fault", slog.String("method", method), slog.String("error", err.Error()))
}

// Published notes what was told to everybody.
func (w *Watch) Published(told, back int, took time.Duration, err error) {
	w.looked.Update(took.Seconds())
	if err != nil {
		w.log.Error("publish", slog.String("error", err.Error()))
		return
	}
	w.figures.GetOrCreateCounter(`hardtack_published_total{what="told"}`).Add(told)
	w.figures.GetOrCreateCounter(`hardtack_published_total{what="taken_back"}`).Add(back)
	if told+back > 0 {
		w.log.Info("published", slog.Int("told", told), slog.Int("taken_back", back), slog.Duration("took", took))
	}
}
