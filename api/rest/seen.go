package rest

import (
	"time"

	"github.com/labstack/echo/v4"
)

// Seen is a request that was answered: nothing of what was in it, neither key
// nor query nor body, and not where it came from.
type Seen struct {
	Method  string
	Route   string // as in the document; empty for no endpoint
	Status  int
	Bytes   int64 // of the answer
	Took    time.Duration
	Account string // empty: none
}

// seen tells of every request once it is answered.
func (s *server) seen(next echo.HandlerFunc) echo.HandlerFunc {
	if s.opts.Seen == nil {
		return next
	}
	return func(c echo.Context) error {
		begin := time.Now()
		if err := next(c); err != nil {
			c.Error(err) // answers, so that the status is known
		}
		e := Seen{Method: c.Request().Method, Route: c.Path(), Status: c.Response().Status, Bytes: c.Response().Size, Took: time.Since(begin)}
		if who := caller(c); who != nil {
			e.Account = who.Account
		}
		s.opts.Seen(e)
		return nil
	}
}
