// Package watch tells an operator how a server does: figures for Prometheus
// and lines of JSON, without anything secret or anything that says where a
// boat is.
package watch

import (
	"context"
	"database/sql"
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
	looked   prometheus.Histogram
	underWay prometheus.Gauge
	leaving  prometheus.Gauge
	faults   prometheus.Counter
}

// New makes a watch that logs to a logger.
func New(log *slog.Logger) *Watch {
	w := &Watch{
		log: log, registry: prometheus.NewRegistry(),
		requests: prometheus.NewCounterVec(prometheus.CounterOpts{Name: "hardtack_requests_total", Help: "Requests answered."}, []string{"method", "route", "status"}),
		took: prometheus.NewHistogramVec(prometheus.HistogramOpts{
			Name: "hardtack_request_seconds", Help: "Time to answer.", Buckets: []float64{.001, .003, .01, .03, .1, .3, 1, 3, 10, 60},
		}, []string{"route"}),
		sent:     prometheus.NewCounter(prometheus.CounterOpts{Name: "hardtack_sent_bytes_total", Help: "Bytes of answers."}),
		told:     prometheus.NewCounterVec(prometheus.CounterOpts{Name: "hardtack_published_total", Help: "Reports told to everybody, and taken back."}, []string{"what"}),
		looked:   prometheus.NewHistogram(prometheus.HistogramOpts{Name: "hardtack_publish_seconds", Help: "Time to find what is to be told.", Buckets: []float64{.01, .1, 1, 10, 100}}),
		underWay: prometheus.NewGauge(prometheus.GaugeOpts{Name: "hardtack_requests_under_way", Help: "Requests being answered."}),
		leaving:  prometheus.NewGauge(prometheus.GaugeOpts{Name: "hardtack_leaving", Help: "1 once the server was asked to stop."}),
		faults:   prometheus.NewCounter(prometheus.CounterOpts{Name: "hardtack_faults_total", Help: "Faults of the program or the machine."}),
	}
	w.registry.MustRegister(w.requests, w.took, w.sent, w.told, w.looked, w.underWay, w.leaving, w.faults, collectors.NewGoCollector(),
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

// UnderWay counts the requests that a handler is answering.
func (w *Watch) UnderWay(h http.Handler) http.Handler {
	return promhttp.InstrumentHandlerInFlight(w.underWay, h)
}

// Database shows how busy the connections to the database are.
func (w *Watch) Database(pool func() sql.DBStats) {
	w.registry.MustRegister(
		prometheus.NewGaugeFunc(prometheus.GaugeOpts{
			Name: "hardtack_database_connections_in_use", Help: "Connections to the database that work.",
		}, func() float64 { return float64(pool().InUse) }),
		prometheus.NewCounterFunc(prometheus.CounterOpts{
			Name: "hardtack_database_wait_seconds_total", Help: "Time requests waited for a connection.",
		}, func() float64 { return pool().WaitDuration.Seconds() }))
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
	w.looked.Observe(took.Seconds())
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
