package rest

import (
	"errors"
	"fmt"
	"math"
	"net/http"
	"strings"
	"time"

	"github.com/labstack/echo/v4"

	"hardtack/api"
	"hardtack/api/access"
)

// Shared makes a server of many boats: whoever calls needs an account for what
// is not public, and is answered so often only.
type Shared struct {
	Registration api.Registration // default ByInvitation
	PerKey       access.Limit     // default 5 a second, 200 at once
	PerAddress   access.Limit     // of calls without a key; default 5 a second, 100 at once
	Guesses      access.Limit     // of keys and passwords that do not hold, by address; default 1 in 6 s, 10 at once
	Now          func() time.Time // default time.Now
}

// gate decides who comes in.
type gate struct {
	Shared
	keys, addresses, guesses *access.Limits
}

// many is how many keys and addresses are counted one by one.
const many = 50_000

func newGate(s *Shared) *gate {
	if s == nil {
		return nil
	}
	g := &gate{Shared: *s}
	for _, d := range []struct {
		limit *access.Limit
		or    access.Limit
	}{
		{&g.PerKey, access.Limit{Per: 5, Burst: 200}}, {&g.PerAddress, access.Limit{Per: 5, Burst: 100}},
		{&g.Guesses, access.Limit{Per: 1. / 6, Burst: 10}},
	} {
		if *d.limit == (access.Limit{}) {
			*d.limit = d.or
		}
	}
	if g.Registration == "" {
		g.Registration = api.ByInvitation
	}
	if g.Now == nil {
		g.Now = time.Now
	}
	g.keys, g.addresses, g.guesses = access.NewLimits(g.PerKey, many), access.NewLimits(g.PerAddress, many), access.NewLimits(g.Guesses, many)
	return g
}

// take counts a call.
func (g *gate) take(c echo.Context, l *access.Limits, name string) error {
	wait, ok := l.Take(name, g.Now())
	if ok {
		return nil
	}
	return tooOften(c, wait)
}

func tooOften(c echo.Context, wait time.Duration) error {
	c.Response().Header().Set("Retry-After", seconds(wait))
	return echo.NewHTTPError(http.StatusTooManyRequests, "too many calls: try again in "+seconds(wait)+" s")
}

// seconds is how long to wait, for Retry-After: one at least.
func seconds(wait time.Duration) string {
	return fmt.Sprint(int(math.Ceil(max(wait, time.Second).Seconds())))
}

// guarded is an endpoint's handler behind its rule.
func (s *server) guarded(p endpoint) echo.HandlerFunc {
	name, handle := p.method+" "+p.path, p.handle
	if s.gate == nil {
		if sharedOnly[name] {
			return func(echo.Context) error { return echo.ErrNotFound }
		}
		return handle
	}
	rule := rules[name]
	return func(c echo.Context) error {
		caller, err := s.callerOf(c)
		if err != nil {
			return err
		}
		switch access.Decide(rule, caller) {
		case access.NotHere:
			return echo.ErrNotFound
		case access.WhoAsks:
			return unknown(c)
		case access.Forbid:
			return fmt.Errorf("%w: this needs another account or a key with more scopes", api.ErrDenied)
		}
		c.Set(callerName, &caller)
		return handle(c)
	}
}

// callerOf finds out who calls, and counts the call.
func (s *server) callerOf(c echo.Context) (access.Caller, error) {
	header := c.Request().Header.Get("Authorization")
	if header == "" {
		return access.Caller{}, s.gate.take(c, s.gate.addresses, c.RealIP())
	}
	if wait, ok := s.gate.guesses.Free(c.RealIP(), s.gate.Now()); !ok {
		return access.Caller{}, tooOften(c, wait)
	}
	key, ok := strings.CutPrefix(header, "Bearer ")
	if !ok {
		key = ""
	}
	caller, err := s.svc.Caller(c.Request().Context(), strings.TrimSpace(key))
	if errors.Is(err, api.ErrNobody) {
		if err := s.gate.take(c, s.gate.guesses, c.RealIP()); err != nil {
			return access.Caller{}, err
		}
		return access.Caller{}, unknown(c)
	}
	if err != nil {
		return access.Caller{}, err
	}
	return caller, s.gate.take(c, s.gate.keys, caller.Account)
}

func unknown(c echo.Context) error {
	c.Response().Header().Set("WWW-Authenticate", `Bearer realm="hardtack"`)
	return echo.NewHTTPError(http.StatusUnauthorized, "a key of an account is needed: Authorization: Bearer ht_…")
}

const callerName = "caller"

// caller is who calls, nil on a server without accounts.
func caller(c echo.Context) *access.Caller {
	who, _ := c.Get(callerName).(*access.Caller)
	return who
}
