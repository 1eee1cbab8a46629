// Package watch tells an operator how a server does: figures for Prometheus
// and lines of JSON, without anything secret or anything that says where a
// boat is.
package watch

import (
	"context"
	"log/slog"
	"net/http"
	"strconv"
	"time"

	"github.com/prometheus/client_golang/prometheus"
	"github.com/prometheus/client_golang/prometheus/collectors"
	"github.com/prometheus/client_golang/prometheus/promhttp"

	"hardtack/api/rest"
)

// Watch counts and logs. It is safe for use by many goroutines.
type Watch struct {
	log      *slog.Logger
	registry *prometheus.Registry
	requests *prometheus.CounterVec
	took     *prometheus.HistogramVec
	sent     prometheus.Counter
	told     *prometheus.CounterVec
}

// New makes a watch that logs to a logger.
func New(log *slog.Logger) *Watch {
	w := &Watch{
		log: log, registry: prometheus.NewRegistry(),
		requests: prometheus.NewCounterVec(prometheus.CounterOpts{Name: "hardtack_requests_total", Help: "Requests answered."}, []string{"method", "route", "status"}),
		took: prometheus.NewHistogramVec(prometheus.HistogramOpts{
			Name: "hardtack_request_seconds", Help: "Time to answer.", Buckets: []float64{.001, .003, .01, .03, .1, .3, 1, 3, 10, 60},
		}, []string{"route"}),
		sent: prometheus.NewCounter(prometheus.CounterOpts{Name: "hardtack_sent_bytes_total", Help: "Bytes of answers."}),
		told: prometheus.NewCounterVec(prometheus.CounterOpts{Name: "hardtack_published_total", Help: "Reports told to everybody, and taken back."}, []string{"what"}),
	}
	w.registry.MustRegister(w.requests, w.took, w.sent, w.told, collectors.NewGoCollector(),
		collectors.NewProcessCollector(collectors.ProcessCollectorOpts{}))
	return w
}

// Handler gives the figures.
func (w *Watch) Handler() http.Handler {
	return promhttp.HandlerFor(w.registry, promhttp.HandlerOpts{ErrorLog: slog.NewLogLogger(w.log.Handler(), slog.LevelError)})
}

// Seen notes a request that was answered.
func (w *Watch) Seen(s rest.Seen) {
	route := s.Route
	if route == "" {
		route = "none" // whatever was asked for: a label for each would be a flood
	}
	w.requests.WithLabelValues(s.Method, route, strconv.Itoa(s.Status)).Inc()
	w.took.WithLabelValues(route).Observe(s.Took.Seconds())
	w.sent.Add(float64(s.Bytes))
	level := slog.LevelInfo
	if s.Status >= 500 {
		level = slog.LevelError
	}
	w.log.LogAttrs(context.Background(), level, "answered", slog.String("method", s.Method), slog.String("route", route),
		slog.Int("status", s.Status), slog.Int64("bytes", s.Bytes), slog.Float64("ms", float64(s.Took.Microseconds())/1000), slog.String("account", s.Account))
}

// Fault notes what went wrong inside.
func (w *Watch) Fault(method, _ string, err error) {
	w.log.Error("fault", slog.String("method", method), slog.String("error", err.Error()))
}

// Published notes what was told to everybody.
func (w *Watch) Published(told, back int, took time.Duration, err error) {
	if err != nil {
		w.log.Error("publish", slog.String("error", err.Error()))
		return
	}
	w.told.WithLabelValues("told").Add(float64(told))
	w.told.WithLabelValues("taken_back").Add(float64(back))
	if told+back > 0 {
		w.log.Info("published", slog.Int("told", told), slog.Int("taken_back", back), slog.Duration("took", took))
	}
}
