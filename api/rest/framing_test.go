package rest_test

import (
	"bufio"
	"context"
	"io"
	"net"
	"net/http"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"hardtack/api"
	"hardtack/api/rest"
	"hardtack/db/dbtest"
)

// heard serves and gives what was answered to raw bytes: each status, and the
// routes that were called.
func heard(t *testing.T, sent string) (statuses []int, called []string) {
	t.Helper()
	w, err := world()
	require.NoError(t, err)
	l, err := net.Listen("tcp", "127.0.0.1:0")
	require.NoError(t, err)
	var mu sync.Mutex
	svc := api.New(dbtest.Open(t, dbtest.SQLite), w, api.Options{})
	handler := rest.New(svc, rest.Options{Seen: func(s rest.Seen) {
		mu.Lock()
		defer mu.Unlock()
		called = append(called, s.Method+" "+s.Route)
	}})
	ctx, stop := context.WithCancel(context.Background())
	served := make(chan error)
	go func() { served <- rest.Serve(ctx, l, handler) }()
	c, err := net.Dial("tcp", l.Addr().String())
	require.NoError(t, err)
	require.NoError(t, c.SetDeadline(time.Now().Add(20*time.Second)))
	_, err = io.WriteString(c, sent)
	require.NoError(t, err)
	require.NoError(t, c.(*net.TCPConn).CloseWrite())
	for r := bufio.NewReader(c); ; {
		resp, err := http.ReadResponse(r, nil)
		if err != nil {
			break
		}
		_, _ = io.Copy(io.Discard, resp.Body)
		resp.Body.Close()
		statuses = append(statuses, resp.StatusCode)
	}
	require.NoError(t, c.Close())
	stop()
	require.NoError(t, <-served)
	mu.Lock()
	defer mu.Unlock()
	return statuses, called
}

const hidden = "GET /v1/items HTTP/1.1\r\nHost: localhost\r\n\r\n"

// Where a request ends has one answer (RFC 9112, section 6.3): what is told in
// two ways, or in a way of its own, is refused and the connection closed, so
// that what follows is never taken for another request.
func TestWhereARequestEnds(t *testing.T) {
	t.Parallel()
	for name, head := range map[string]string{
		"two lengths":                    "Content-Length: 0\r\nContent-Length: 44\r\n",
		"a list of lengths":              "Content-Length: 0, 44\r\n",
		"a length with a sign":           "Content-Length: +0\r\n",
		"a negative length":              "Content-Length: -1\r\n",
		"a length that is no number":     "Content-Length: 0x0\r\n",
		"a length too large":             "Content-Length: 99999999999999999999\r\n",
		"another coding":                 "Transfer-Encoding: identity\r\n",
		"chunked not last":               "Transfer-Encoding: chunked, identity\r\n",
		"nearly chunked":                 "Transfer-Encoding: xchunked\r\n",
		"chunked twice":                  "Transfer-Encoding: chunked\r\nTransfer-Encoding: chunked\r\n",
		"chunked with a letter too much": "Transfer-Encoding: \x0bchunked\r\n",
		"a blank before the colon":       "Content-Length : 44\r\n",
		"a blank in the name":            "Content Length: 44\r\n",
		"a name with a line end":         "X\rContent-Length: 44\r\n",
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			statuses, called := heard(t, "POST /v1/scale HTTP/1.1\r\nHost: localhost\r\nContent-Type: application/json\r\n"+head+"\r\n0\r\n\r\n"+hidden)
			require.Len(t, statuses, 1)
			require.Contains(t, []int{http.StatusBadRequest, http.StatusNotImplemented}, statuses[0])
			require.Empty(t, called)
		})
	}
	t.Run("chunked is chunked whatever length is told", func(t *testing.T) {
		t.Parallel()
		for _, length := range []string{"5", "44", "0"} {
			statuses, called := heard(t, "POST /v1/scale HTTP/1.1\r\nHost: localhost\r\nContent-Type: application/json\r\nContent-Length: "+length+
				"\r\nTransfer-Encoding: chunked\r\n\r\n"+"2d\r\n"+hidden+" \r\n0\r\n\r\n")
			require.Equal(t, []string{"POST /v1/scale"}, called, "what is in the body stays there")
			require.Equal(t, []int{http.StatusBadRequest}, statuses)
		}
	})
	t.Run("a chunk that is none", func(t *testing.T) {
		t.Parallel()
		for _, chunk := range []string{"fffffffffffffffff\r\n", "-1\r\n", "0x1\r\na\r\n", "1 2\r\n", "1\r\nab\r\n", ";\r\n"} {
			_, called := heard(t, "POST /v1/scale HTTP/1.1\r\nHost: localhost\r\nContent-Type: application/json\r\nTransfer-Encoding: chunked\r\n\r\n"+chunk+"0\r\n\r\n"+hidden)
			require.NotContains(t, called, "GET /v1/items", "%q", chunk)
		}
	})
	t.Run("what follows a whole request is the next one", func(t *testing.T) {
		t.Parallel()
		statuses, called := heard(t, "POST /v1/scale HTTP/1.1\r\nHost: localhost\r\nContent-Type: application/json\r\nContent-Length: 2\r\n\r\n{}"+hidden)
		require.Equal(t, []string{"POST /v1/scale", "GET /v1/items"}, called, strings.Join(called, ", "))
		require.Equal(t, http.StatusOK, statuses[1])
	})
	t.Run("a folded line belongs to the one before", func(t *testing.T) { // RFC 9112, section 5.2
		t.Parallel()
		_, called := heard(t, "POST /v1/scale HTTP/1.1\r\nHost: localhost\r\nX: y\r\n Content-Length: 44\r\n\r\n0\r\n\r\n"+hidden)
		require.Equal(t, []string{"POST /v1/scale"}, called)
	})
	t.Run("a body that ends early", func(t *testing.T) {
		t.Parallel()
		statuses, called := heard(t, "POST /v1/scale HTTP/1.1\r\nHost: localhost\r\nContent-Type: application/json\r\nContent-Length: 900\r\n\r\n{}"+hidden)
		require.NotContains(t, called, "GET /v1/items")
		require.NotContains(t, statuses, http.StatusOK)
	})
}
