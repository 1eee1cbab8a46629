package rest_test

import (
	"net/http"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"hardtack/api"
	"hardtack/api/access"
	"hardtack/api/rest"
	"hardtack/db/dbtest"
)

// ship is a shared server whose clock the test moves.
type ship struct {
	*client
	now *time.Time
}

func (s ship) later(d time.Duration) { *s.now = s.now.Add(d) }

func clocked(t *testing.T, e dbtest.Engine, l api.Logins) ship {
	t.Helper()
	now := noon
	wide := access.Limit{Per: 1e6, Burst: 1e6}
	c := serveWith(t, e, api.Options{Now: func() time.Time { return now }, Logins: l},
		rest.Options{Shared: &rest.Shared{PerKey: wide, PerAddress: wide, Guesses: wide}})
	return ship{c, &now}
}

func (c *client) login(name string, more ...string) answer {
	body := object{"name": name, "password": somePassword}
	if len(more) > 0 {
		body["code"] = more[0]
	}
	return c.do("POST", "/v1/logins", body)
}

func (c *client) in(name string, code ...string) string {
	c.t.Helper()
	var in api.Admitted
	c.login(name, code...).want(http.StatusCreated).into(&in)
	return "Bearer " + in.Key
}

func (c *client) knows(auth string) bool {
	return c.do("GET", "/v1/account", nil, "Authorization", auth).status == http.StatusOK
}

// A login that is not used ends; another key does not.
func TestAQuietLoginEnds(t *testing.T) {
	t.Parallel()
	c := clocked(t, dbtest.SQLite, api.Logins{Quiet: 30 * time.Minute})
	_, key := c.admit(access.Skipper, "sula")
	in := c.in("sula")
	for range 3 {
		c.later(29 * time.Minute)
		require.True(t, c.knows(in))
	}
	c.later(30 * time.Minute)
	require.False(t, c.knows(in))
	require.True(t, c.knows(key), "a boat at sea goes on")
}

// One login more than allowed ends the one that was quiet longest.
func TestMostLogins(t *testing.T) {
	t.Parallel()
	for _, e := range []dbtest.Engine{dbtest.SQLite, dbtest.Postgres} {
		c := clocked(t, e, api.Logins{Most: 2})
		_, key := c.admit(access.Skipper, "sula")
		c.admit(access.Skipper, "other")
		other := c.in("other")
		first := c.in("sula")
		c.later(2 * time.Minute)
		second := c.in("sula")
		c.later(2 * time.Minute)
		require.True(t, c.knows(first))
		c.later(2 * time.Minute)
		third := c.in("sula")
		require.True(t, c.knows(first), "used since")
		require.False(t, c.knows(second))
		require.True(t, c.knows(third))
		require.True(t, c.knows(key))
		require.True(t, c.knows(other))
	}
}

// Logging in anew with the key of a login ends that login, and nobody else's.
func TestALoginTakesThePlaceOfTheOneBefore(t *testing.T) {
	t.Parallel()
	c := clocked(t, dbtest.SQLite, api.Logins{})
	_, key := c.admit(access.Skipper, "sula")
	c.admit(access.Skipper, "other")
	other, first, second := c.in("other"), c.in("sula"), c.in("sula")
	var in api.Admitted
	again := func(auth string) string {
		c.do("POST", "/v1/logins", object{"name": "sula", "password": somePassword}, "Authorization", auth).want(http.StatusCreated).into(&in)
		return "Bearer " + in.Key
	}
	require.True(t, c.knows(again(first)))
	require.False(t, c.knows(first))
	require.True(t, c.knows(second))
	again(other)
	require.True(t, c.knows(other), "not sula's to end")
	again(key)
	require.True(t, c.knows(key), "no login")
}

// Somebody forgot the password: the operator's holds for a day and for setting
// another, and goes round no second factor.
func TestAForgottenPassword(t *testing.T) {
	t.Parallel()
	c := clocked(t, dbtest.SQLite, api.Logins{})
	done, _ := c.admit(access.Skipper, "sula")
	before := c.in("sula")
	text, err := c.svc.ResetPassword(t.Context(), done.Account.ID)
	require.NoError(t, err)
	require.False(t, c.knows(before), "logins end")
	c.login("sula").problem(http.StatusUnauthorized)
	with := func(password string) answer {
		return c.do("POST", "/v1/logins", object{"name": "sula", "password": password})
	}
	var in api.Admitted
	with(text).want(http.StatusCreated).into(&in)
	c.do("GET", "/v1/reports", nil, "Authorization", "Bearer "+in.Key).problem(http.StatusForbidden)
	c.do("PUT", "/v1/account/password", object{"old": text, "password": "a second fine evening"}, "Authorization", "Bearer "+in.Key).want(http.StatusCreated).into(&in)
	c.do("GET", "/v1/reports", nil, "Authorization", "Bearer "+in.Key).want(http.StatusOK)
	with(text).problem(http.StatusUnauthorized)

	text, err = c.svc.ResetPassword(t.Context(), done.Account.ID)
	require.NoError(t, err)
	c.later(24 * time.Hour)
	with(text).problem(http.StatusUnauthorized)
	_, err = c.svc.ResetPassword(t.Context(), "nobody")
	require.ErrorIs(t, err, api.ErrNotFound)
	boat, _ := c.admit(access.Boat, "boat")
	_, err = c.svc.ResetPassword(t.Context(), boat.Account.ID)
	require.ErrorIs(t, err, api.ErrDenied)
	require.Contains(t, c.audited(), "reset password\n")
}

// audited is what the trail says was done, a line each.
func (c *client) audited() string {
	c.t.Helper()
	all, err := c.svc.Audit(c.t.Context(), 0, 1000)
	require.NoError(c.t, err)
	var said strings.Builder
	for _, a := range all {
		said.WriteString(a.What + "\n")
	}
	return said.String()
}
