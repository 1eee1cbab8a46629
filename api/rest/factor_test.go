package rest_test

import (
	"net/http"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"github.com/pquerna/otp/totp"
	"github.com/stretchr/testify/require"

	"hardtack/api"
	"hardtack/api/access"
	"hardtack/db/dbtest"
)

// code is what an authenticator shows now, worked out by the library's own way.
func (s ship) code(f access.Factor) string {
	s.t.Helper()
	code, err := totp.GenerateCode(f.Secret, *s.now)
	require.NoError(s.t, err)
	return code
}

const factorPath = "/v1/account/second-factor"

// pair sets up a second factor as its owner does.
func (s ship) pair(auth string) (access.Factor, api.Confirmed) {
	s.t.Helper()
	var f access.Factor
	a := s.do("POST", factorPath, object{"password": somePassword}, "Authorization", auth).want(http.StatusCreated)
	require.Equal(s.t, "no-store", a.header.Get("Cache-Control"))
	a.into(&f)
	var done api.Confirmed
	s.do("PUT", factorPath, object{"code": s.code(f)}, "Authorization", auth).want(http.StatusCreated).into(&done)
	require.Len(s.t, done.RecoveryCodes, 10)
	return f, done
}

func TestASecondFactor(t *testing.T) {
	t.Parallel()
	for _, e := range []dbtest.Engine{dbtest.SQLite, dbtest.Postgres} {
		c := clocked(t, e, api.Logins{})
		_, key := c.admit(access.Skipper, "sula")
		in := c.in("sula")
		c.do("POST", factorPath, object{"password": "not the password"}, "Authorization", in).problem(http.StatusUnauthorized)
		c.do("PUT", factorPath, object{"code": "123456"}, "Authorization", in).problem(http.StatusNotFound)
		f, done := c.pair(in)
		require.False(t, c.knows(in), "other logins end")
		require.True(t, c.knows("Bearer "+done.Key))
		require.True(t, c.knows(key))
		require.Contains(t, string(c.do("GET", "/v1/account", nil, "Authorization", key).body), `"second_factor":true`)
		c.do("POST", factorPath, object{"password": somePassword}, "Authorization", key).problem(http.StatusConflict)

		c.login("sula").problem(http.StatusUnauthorized)
		c.login("sula", c.code(f)).problem(http.StatusUnauthorized) // it was shown once
		c.later(time.Minute)
		good := c.code(f)
		require.True(t, c.knows(c.in("sula", good)))
		c.login("sula", good).problem(http.StatusUnauthorized)

		one := done.RecoveryCodes[3]
		require.True(t, c.knows(c.in("sula", strings.ToUpper(one))))
		c.login("sula", one).problem(http.StatusUnauthorized)

		c.later(time.Hour)
		in = c.in("sula", c.code(f))
		change := object{"old": somePassword, "password": "a second fine evening"}
		c.do("PUT", "/v1/account/password", change, "Authorization", in).problem(http.StatusUnauthorized)
		c.do("POST", factorPath+"/removal", object{"password": somePassword, "code": "000000"}, "Authorization", in).problem(http.StatusUnauthorized)
		c.do("POST", factorPath+"/removal", object{"password": "x", "code": done.RecoveryCodes[1]}, "Authorization", in).problem(http.StatusUnauthorized)
		c.do("POST", factorPath+"/removal", object{"password": somePassword, "code": done.RecoveryCodes[1]}, "Authorization", in).want(http.StatusNoContent)
		require.False(t, c.knows(in))
		require.True(t, c.knows(c.in("sula")), "the password alone")
		_, boat := c.admit(access.Boat, "boat")
		c.do("POST", factorPath, object{"password": ""}, "Authorization", boat).problem(http.StatusForbidden)
		for _, what := range []string{"offer second factor", "second factor in force", "log in, two factors", "log in, recovery code", "use recovery code", "remove second factor"} {
			require.Contains(t, c.audited(), what+"\n")
		}
	}
}

// A code that does not hold may be tried five times, then once in five minutes,
// and only by who has the password; of many at once with one good code one
// comes in.
func TestCodesAreNotGuessed(t *testing.T) {
	t.Parallel()
	c := clocked(t, dbtest.SQLite, api.Logins{Most: 100})
	c.admit(access.Skipper, "sula")
	f, _ := c.pair(c.in("sula"))
	for range 20 {
		c.do("POST", "/v1/logins", object{"name": "sula", "password": "not the password", "code": "000000"}).problem(http.StatusUnauthorized)
	}
	for range 5 {
		c.login("sula", "000000").problem(http.StatusUnauthorized)
	}
	a := c.login("sula", "000000").want(http.StatusTooManyRequests)
	require.Equal(t, "300", a.header.Get("Retry-After"))
	c.later(time.Minute)
	c.login("sula", c.code(f)).problem(http.StatusTooManyRequests)
	c.later(4 * time.Minute)
	good := c.code(f)
	var in atomic.Int32
	var wg sync.WaitGroup
	for range 6 {
		wg.Go(func() {
			if _, err := c.svc.Login(t.Context(), api.Credentials{Name: "sula", Password: somePassword, Code: good}); err == nil {
				in.Add(1)
			}
		})
	}
	wg.Wait()
	require.EqualValues(t, 1, in.Load())
}

// Where it is asked of moderators, they moderate with it only, and with keys
// made after it; where it is asked of everybody, a login without it is good
// for setting one up.
func TestSecondFactorsThatAreAskedFor(t *testing.T) {
	t.Parallel()
	c := clocked(t, dbtest.SQLite, api.Logins{Two: api.Moderators})
	_, key := c.admit(access.Moderator, "boss")
	c.admit(access.Skipper, "sula")
	asks := func(auth, path string) int { return c.do("GET", path, nil, "Authorization", auth).status }
	require.Equal(t, http.StatusForbidden, asks(key, "/v1/audit"))
	require.Equal(t, http.StatusOK, asks(key, "/v1/reports"))
	in := c.in("boss")
	require.Equal(t, http.StatusForbidden, asks(in, "/v1/audit"))
	require.Equal(t, http.StatusOK, asks(c.in("sula"), "/v1/reports"), "not asked of skippers")
	c.later(time.Second)
	f, done := c.pair(in)
	require.Equal(t, http.StatusOK, asks("Bearer "+done.Key, "/v1/audit"))
	require.Equal(t, http.StatusForbidden, asks(key, "/v1/audit"), "from before")
	var made struct{ Key string }
	c.do("POST", "/v1/keys", object{"label": "script", "scopes": []string{"moderate"}}, "Authorization", "Bearer "+done.Key).want(http.StatusCreated).into(&made)
	require.Equal(t, http.StatusOK, asks("Bearer "+made.Key, "/v1/audit"))
	c.later(time.Minute)
	require.Equal(t, http.StatusOK, asks(c.in("boss", c.code(f)), "/v1/audit"))
	require.NoError(t, c.svc.RemoveFactorOf(t.Context(), done.Account.ID))
	require.Equal(t, http.StatusForbidden, asks("Bearer "+made.Key, "/v1/audit"))
	require.ErrorIs(t, c.svc.RemoveFactorOf(t.Context(), done.Account.ID), api.ErrNotFound)

	c = clocked(t, dbtest.SQLite, api.Logins{Two: api.Everybody})
	_, key = c.admit(access.Skipper, "sula")
	in = c.in("sula")
	require.Equal(t, http.StatusForbidden, asks(in, "/v1/reports"))
	require.Equal(t, http.StatusOK, asks(key, "/v1/reports"), "a boat at sea goes on")
	_, done = c.pair(in)
	require.Equal(t, http.StatusOK, asks("Bearer "+done.Key, "/v1/reports"))
}
