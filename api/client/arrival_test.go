package client_test

import (
	"fmt"
	"net/http"
	"net/http/httptest"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"hardtack/api"
	"hardtack/api/access"
	"hardtack/api/client"
	"hardtack/api/exchange"
	"hardtack/api/public"
	"hardtack/api/rest"
	"hardtack/db"
	"hardtack/db/dbtest"
	"hardtack/pricing"
)

// harbour is a server of many boats with something to tell.
func harbour(t *testing.T, e dbtest.Engine) (*api.Service, *db.DB, string) {
	t.Helper()
	w, err := world()
	require.NoError(t, err)
	now := noon.AddDate(0, 2, 0)
	c, err := codec()
	require.NoError(t, err)
	at := e(t)
	d := dbtest.Open(t, func(testing.TB) string { return at })
	svc := api.New(d, w, api.Options{Now: func() time.Time { return now }, Public: true, Codec: c})
	var told []api.Entry
	for n := range 1000 {
		told = append(told, api.Entry{
			Port: string(w.Ports.All()[n%30].ID), Item: string(w.Catalogue.Order[n%50]), Day: svc.Today(), Found: pricing.FoundNone,
			Reporter: fmt.Sprint("r", n%7), Source: pricing.Shelf,
		})
	}
	_, err = svc.RecordAll(ctx, told)
	require.NoError(t, err)
	now = now.AddDate(0, 2, 0)
	_, _, err = svc.Publish(ctx, public.Rule{Enough: 1})
	require.NoError(t, err)
	if strings.HasPrefix(at, "postgres") { // what autovacuum does within a minute of a load
		require.NoError(t, dbtest.Do(at, "ANALYZE published, report, report_key, author, account, access_key"))
	}
	s := httptest.NewServer(rest.New(svc, rest.Options{
		Shared: &rest.Shared{PerAddress: access.Limit{Per: 1e6, Burst: 1e6}}, // here all come from one address
		Fault:  func(method, path string, err error) { t.Errorf("%s %s: %v", method, path, err) },
	}))
	t.Cleanup(s.Close)
	return svc, d, s.URL
}

// All boats of an anchorage find a link within the same minute: each brings a
// week's reports and fetches what is told. Everything arrives, once.
func arrival(t *testing.T, name string, e dbtest.Engine, boats int) {
	svc, d, url := harbour(t, e)
	before, err := d.CountReports(ctx, db.Filter{})
	require.NoError(t, err)
	var fleet []boat
	var clients []*client.Client
	links := &http.Transport{MaxIdleConnsPerHost: boats}
	defer links.CloseIdleConnections()
	const each = 25
	for n := range boats {
		b := aboard(t, dbtest.Open(t, dbtest.SQLite), noon.AddDate(0, 4, 0))
		b.report(t, n*each, each)
		done, err := svc.AddAccount(ctx, api.Applicant{Name: fmt.Sprint("boat", n), Role: access.Boat})
		require.NoError(t, err)
		c, err := client.New(url, client.Options{Key: done.Key, HTTP: &http.Client{Transport: links}})
		require.NoError(t, err)
		defer c.Close()
		fleet, clients = append(fleet, b), append(clients, c)
	}
	var mu sync.Mutex
	var took []time.Duration
	var wait sync.WaitGroup
	begin, spent := time.Now(), dbtest.Processor()
	for n := range fleet {
		wait.Go(func() {
			start := time.Now()
			done, err := clients[n].Exchange(ctx, fleet[n].Service, exchange.Visit{})
			if err != nil || done.Brought != each || done.Fetched == 0 {
				t.Errorf("boat %d: %+v: %v", n, done, err)
			}
			mu.Lock()
			defer mu.Unlock()
			took = append(took, time.Since(start))
		})
	}
	wait.Wait()
	whole, cost := time.Since(begin), dbtest.Processor()-spent
	after, err := d.CountReports(ctx, db.Filter{})
	require.NoError(t, err)
	require.Equal(t, boats*each, after-before)
	slices.Sort(took)
	dbtest.Figure(t, "Crowd", name+": boats arriving at once, 25 reports up and all that is told down, boats on the same machine",
		"%d boats done in %.1f s, half within %.1f s; %.1f s of processor time, the boats' own included, the database server's not",
		boats, whole.Seconds(), took[len(took)/2].Seconds(), cost.Seconds())
	require.Less(t, cost, 2*time.Minute, "within a minute on two cores")
}

func TestBoatsArriveAtOnce(t *testing.T) {
	boats := dbtest.Rounds(t, 12, 200)
	t.Run("sqlite", func(t *testing.T) { arrival(t, "SQLite", dbtest.SQLite, boats) })
	t.Run("postgres", func(t *testing.T) { arrival(t, "PostgreSQL", dbtest.Postgres, boats) })
}
