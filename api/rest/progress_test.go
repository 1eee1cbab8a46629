package rest_test

import (
	"bufio"
	"context"
	"encoding/json"
	"net/http"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"hardtack/api"
	"hardtack/api/rest"
)

// Better and better plans are told of while they are found, at the end the one
// that is kept; the same work gives the same plan.
func TestPlanningTellsOnTheWay(t *testing.T) {
	t.Parallel()
	c := ready(t)
	a := c.do("POST", "/v1/voyages/go/plan", object{"work": 4000}, "Accept", "text/event-stream").want(http.StatusOK)
	require.Equal(t, "text/event-stream", a.header.Get("Content-Type"))
	last, names := 1e18, []string{}
	var planned api.Planned
	for _, event := range strings.Split(strings.TrimSpace(string(a.body)), "\n\n") {
		name, data, ok := strings.Cut(strings.TrimPrefix(event, "event: "), "\ndata: ")
		require.True(t, ok, "%.80s", event)
		names = append(names, name)
		if name == "planned" {
			require.NoError(t, json.Unmarshal([]byte(data), &planned))
			continue
		}
		var p struct{ Total, Bound, Gap, Seconds float64 }
		require.NoError(t, json.Unmarshal([]byte(data), &p))
		require.LessOrEqual(t, p.Total, last+1e-9)
		require.LessOrEqual(t, p.Bound, p.Total+1e-9)
		last = p.Total
	}
	require.Equal(t, "better", names[0])
	require.Equal(t, "planned", names[len(names)-1])
	require.LessOrEqual(t, planned.Plan.Cost.Total, last+1e-9)
	require.Len(t, planned.Habits, 3)
	var kept, again api.Planned
	c.do("GET", "/v1/voyages/go/plan", nil).want(http.StatusOK).into(&kept)
	require.Equal(t, planned, kept)
	c.do("POST", "/v1/voyages/go/plan", object{"work": 4000}).want(http.StatusOK).into(&again)
	require.Equal(t, planned.Plan, again.Plan)

	c.do("POST", "/v1/voyages/none/plan", object{}, "Accept", "text/event-stream").problem(http.StatusNotFound)
	c.do("POST", "/v1/voyages/go/plan", object{"work": -1}).problem(http.StatusUnprocessableEntity).at(t, "work")
}

// A client that goes away in the middle ends the work; nothing is kept.
func TestAClientGoneEndsThePlanning(t *testing.T) {
	t.Parallel()
	seen := make(chan rest.Seen, 100)
	c := serve(t, rest.Options{Seen: func(s rest.Seen) { seen <- s }})
	c.do("PUT", "/v1/vessels/mine", vessel()).want(http.StatusOK)
	c.do("PUT", "/v1/crews/us", crew()).want(http.StatusOK)
	c.do("PUT", "/v1/voyages/go", voyage()).want(http.StatusOK)
	ctx, leave := context.WithCancel(t.Context())
	defer leave()
	r := c.request("POST", "/v1/voyages/go/plan", object{"work": 1_000_000}, "Accept", "text/event-stream").WithContext(ctx)
	resp, err := http.DefaultClient.Do(r)
	require.NoError(t, err)
	defer resp.Body.Close()
	line, err := bufio.NewReader(resp.Body).ReadString('\n')
	require.NoError(t, err)
	require.Equal(t, "event: better\n", line)
	leave()
	left := time.Now()
	for e := range seen {
		if e.Route == "/v1/voyages/:voyage/plan" {
			break
		}
	}
	t.Logf("ended %v after the client left", time.Since(left))
	require.Less(t, time.Since(left), 10*time.Second, "a million schedules take longer")
	c.do("GET", "/v1/voyages/go/plan", nil).problem(http.StatusNotFound)
}
