package rest_test

import (
	"context"
	"io"
	"net"
	"net/http"
	"testing"

	"github.com/stretchr/testify/require"

	"hardtack/api/rest"
)

func TestRequestsUnderWayAreFinished(t *testing.T) {
	t.Parallel()
	l, err := net.Listen("tcp", "127.0.0.1:0")
	require.NoError(t, err)
	ctx, stop := context.WithCancel(context.Background())
	begun, finish, served := make(chan struct{}), make(chan struct{}), make(chan error)
	slow := http.HandlerFunc(func(w http.ResponseWriter, _ *http.Request) {
		close(begun)
		<-finish
		_, _ = io.WriteString(w, "all of it")
	})
	go func() { served <- rest.Serve(ctx, l, slow) }()
	got := make(chan string)
	go func() {
		resp, err := http.Get("http://" + l.Addr().String())
		if err != nil {
			got <- err.Error()
			return
		}
		defer resp.Body.Close()
		body, _ := io.ReadAll(resp.Body)
		got <- string(body)
	}()
	<-begun
	stop()
	close(finish)
	require.Equal(t, "all of it", <-got)
	require.NoError(t, <-served)
	_, err = http.Get("http://" + l.Addr().String())
	require.Error(t, err, "nobody listens any more")
}

func TestATakenAddressIsAnError(t *testing.T) {
	t.Parallel()
	l, err := net.Listen("tcp", "127.0.0.1:0")
	require.NoError(t, err)
	require.NoError(t, l.Close())
	require.Error(t, rest.Serve(context.Background(), l, http.NotFoundHandler()))
}
