package rest_test

import (
	"net/http"
	"net/http/httptest"
	"sync"
	"testing"

	"github.com/stretchr/testify/require"

	"hardtack/api"
	"hardtack/api/rest"
	"hardtack/db"
	"hardtack/db/dbtest"
)

// A database that is gone is our fault: told to whoever runs the server, never
// to the client, and never answered as if all were well.
func TestAFaultIsToldToTheRightOne(t *testing.T) {
	t.Parallel()
	w, err := world()
	require.NoError(t, err)
	d, err := db.Open(t.Context(), dbtest.SQLite(t))
	require.NoError(t, err)
	var told sync.Map
	svc := api.New(d, w, api.Options{})
	s := httptest.NewServer(rest.New(svc, rest.Options{Fault: func(_, path string, err error) { told.Store(path, err) }}))
	t.Cleanup(s.Close)
	c := &client{t, s.URL, svc, spec(t), d}
	c.do("GET", "/readyz", nil).want(http.StatusOK)
	require.NoError(t, d.Close())

	c.do("GET", "/healthz", nil).want(http.StatusOK)
	c.do("GET", "/readyz", nil).problem(http.StatusServiceUnavailable)
	for _, path := range []string{"/v1/reports", "/v1/vessels", "/v1/ports", "/v1/voyages/x/plan"} {
		p := c.do("GET", path, nil).problem(http.StatusInternalServerError)
		require.NotContains(t, p.Detail, "sql")
		_, ok := told.Load(path)
		require.True(t, ok, path)
	}
	c.do("PUT", "/v1/vessels/v", vessel()).problem(http.StatusInternalServerError)
}
