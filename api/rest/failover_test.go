package rest_test

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"net/http"
	"net/http/httptest"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"github.com/google/uuid"
	"github.com/stretchr/testify/require"

	"hardtack/api"
	"hardtack/api/rest"
	"hardtack/db"
	"hardtack/db/dbtest"
	"hardtack/pricing"
)

// boat brings one report after the other and does not stop before each is
// acknowledged.
type boat struct {
	url   string
	acked []string
	worst time.Duration // from first try to acknowledgement
}

func (b *boat) sail(t *testing.T, stop <-chan struct{}, done *atomic.Int64) {
	link := &http.Client{Timeout: 10 * time.Second}
	defer link.CloseIdleConnections()
	for {
		select {
		case <-stop:
			return
		default:
		}
		id := uuid.NewString()
		body, err := json.Marshal(map[string]any{
			"port": "PTHOR", "item": "rice_white", "day": "2026-06-01", "found": "yes", "amount": "1.85", "currency": "EUR", "pack": "1 kg", "source": "receipt", "reporter": "boat",
		})
		if err != nil {
			t.Error(err)
			return
		}
		for begin := time.Now(); ; {
			r, err := http.NewRequest(http.MethodPut, b.url+"/v1/reports/"+id, bytes.NewReader(body))
			if err != nil {
				t.Error(err)
				return
			}
			r.Header.Set("Content-Type", "application/json")
			resp, err := link.Do(r)
			if err == nil {
				said, _ := io.ReadAll(resp.Body)
				_ = resp.Body.Close()
				if resp.StatusCode/100 == 2 {
					b.acked, b.worst = append(b.acked, id), max(b.worst, time.Since(begin))
					done.Add(1)
					break
				}
				if resp.StatusCode != http.StatusServiceUnavailable {
					t.Errorf("%d %s", resp.StatusCode, said)
					return
				}
			}
			if time.Since(begin) > 2*time.Minute {
				t.Error("no boat gets through any more")
				return
			}
			time.Sleep(20 * time.Millisecond)
		}
	}
}

// A primary with a synchronous standby; the primary is killed under writers and
// the standby takes its place, again and again: nothing acknowledged is lost,
// and boats go on. Meanwhile they are told to ask again, nothing worse.
func TestFailover(t *testing.T) {
	const synchronous = "ALTER SYSTEM SET synchronous_standby_names = 'standby'"
	lead := dbtest.NewServer(t, "wal_level=replica", "synchronous_commit=on")
	_, err := db.Migrate(t.Context(), lead.URL())
	require.NoError(t, err)
	rounds := dbtest.Rounds(t, 2, 20)
	follower := dbtest.NewStandby(t, lead, "standby")
	lead.Tell(synchronous, "SELECT pg_reload_conf()")

	var acked []string
	var worst time.Duration
	for range rounds {
		require.Eventually(t, func() bool { return lead.Ask("SELECT sync_state FROM pg_stat_replication") == "sync" }, time.Minute, 50*time.Millisecond)
		d, err := db.Open(t.Context(), lead.URL(follower))
		require.NoError(t, err)
		w, err := world()
		require.NoError(t, err)
		s := httptest.NewServer(rest.New(api.New(d, w, api.Options{Now: func() time.Time { return noon }}), rest.Options{Fault: unlessAway(t)}))
		boats, stop, before := make([]boat, 4), make(chan struct{}), atomic.Int64{}
		var all sync.WaitGroup
		for i := range boats {
			boats[i].url = s.URL
			all.Go(func() { boats[i].sail(t, stop, &before) })
		}
		require.Eventually(t, func() bool { return before.Load() > 20 }, time.Minute, 5*time.Millisecond)
		lead.Kill()
		follower.Promote()
		after := before.Load()
		require.Eventually(t, func() bool { return before.Load() > after+20 }, 2*time.Minute, 10*time.Millisecond, "boats go on")
		close(stop)
		all.Wait()
		s.Close()
		require.NoError(t, d.Close())
		for _, b := range boats {
			acked, worst = append(acked, b.acked...), max(worst, b.worst)
		}
		lead = follower
		missing(t, lead, acked)
		follower = dbtest.NewStandby(t, lead, "standby")
		lead.Tell(synchronous, "SELECT pg_reload_conf()")
	}
	dbtest.Figure(t, "D8", "PostgreSQL: primary killed with all its processes, synchronous standby promoted, 4 writers over HTTP",
		"%d times, %d acknowledged writes, 0 lost, 0 twice; the longest wait of a writer %.1f s", rounds, len(acked), worst.Seconds())
}

func unlessAway(t *testing.T) func(method, path string, err error) {
	return func(_, _ string, err error) {
		if !api.Away(err) {
			t.Errorf("%#v: %v", err, err)
		}
	}
}

// missing wants every report that was acknowledged, once.
func missing(t *testing.T, at *dbtest.Server, acked []string) {
	t.Helper()
	d, err := db.Open(t.Context(), at.URL())
	require.NoError(t, err)
	defer d.Close()
	there := map[string]int{}
	require.NoError(t, d.EachReport(t.Context(), db.Filter{}, func(r pricing.Report) error { there[r.ID]++; return nil }))
	for _, id := range acked {
		require.Equal(t, 1, there[id], fmt.Sprint("acknowledged: ", id))
	}
}
