package rest

import (
	"context"
	"errors"
	"net"
	"net/http"
	"time"
)

// drain is how long requests under way may take to finish when the server is
// asked to stop.
const drain = 30 * time.Second

// Serve answers on a listener until ctx ends, then lets the requests under way
// finish. It has the time-outs that slow or silent clients need.
func Serve(ctx context.Context, l net.Listener, h http.Handler) error {
	s := &http.Server{
		Handler:           h,
		ReadHeaderTimeout: 10 * time.Second,
		ReadTimeout:       2 * time.Minute,
		WriteTimeout:      3 * time.Minute,
		IdleTimeout:       2 * time.Minute,
		MaxHeaderBytes:    32 << 10,
	}
	stopped := make(chan error, 1)
	ctx, end := context.WithCancel(ctx)
	defer end() // a listener that breaks ends the waiting too
	go func() {
		<-ctx.Done()
		late, cancel := context.WithTimeout(context.WithoutCancel(ctx), drain)
		defer cancel()
		stopped <- s.Shutdown(late)
	}()
	if err := s.Serve(l); !errors.Is(err, http.ErrServerClosed) {
		return err
	}
	return <-stopped
}
