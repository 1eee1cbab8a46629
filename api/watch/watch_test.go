package watch_test

import (
	"io"
	"log/slog"
	"net/http/httptest"
	"strings"
	"testing"
	"time"

	"github.com/prometheus/common/expfmt"
	"github.com/prometheus/common/model"
	"github.com/stretchr/testify/require"

	"hardtack/api/rest"
	"hardtack/api/watch"
)

// The figures are read by Prometheus' own reader; whatever callers ask for,
// there is a fixed number of them.
func TestFiguresAreReadByPrometheus(t *testing.T) {
	t.Parallel()
	w := watch.New(slog.New(slog.NewTextHandler(io.Discard, nil)))
	for n := range 100 {
		w.Seen(rest.Seen{Method: strings.Repeat("X", n+1), Status: 404})
		w.Seen(rest.Seen{Method: "GET", Route: "/v1/ports/:port", Status: 200, Bytes: 10})
	}
	w.Fault("GET", "", io.EOF)
	said := httptest.NewRecorder()
	w.Handler().ServeHTTP(said, httptest.NewRequest("GET", "/metrics", nil))
	reader := expfmt.NewTextParser(model.UTF8Validation)
	all, err := reader.TextToMetricFamilies(said.Body)
	require.NoError(t, err)
	counted := map[string]float64{}
	for _, m := range all["hardtack_requests_total"].Metric {
		labels := ""
		for _, l := range m.Label {
			labels += l.GetName() + "=" + l.GetValue() + " "
		}
		counted[labels] = m.GetUntyped().GetValue()
	}
	require.Equal(t, map[string]float64{"method=other route=none status=404 ": 100, "method=GET route=/v1/ports/:port status=200 ": 100}, counted)
	require.Contains(t, all, "hardtack_request_seconds_bucket")
	require.InDelta(t, 1000, all["hardtack_sent_bytes_total"].Metric[0].GetUntyped().GetValue(), 0)
	require.InDelta(t, 1, all["hardtack_faults_total"].Metric[0].GetUntyped().GetValue(), 0)
}

// Times are in UTC wherever the machine is.
func TestLinesAreInUTC(t *testing.T) {
	t.Parallel()
	var b strings.Builder
	r := slog.NewRecord(time.Date(2026, 6, 15, 1, 30, 0, 0, time.FixedZone("LINT", 14*3600)), slog.LevelInfo, "said", 0)
	require.NoError(t, watch.Lines(&b).Handler().Handle(t.Context(), r))
	require.Contains(t, b.String(), `"time":"2026-06-14T11:30:00Z"`)
}
