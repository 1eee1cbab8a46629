package rest_test

import (
	"fmt"
	"net/http"
	"net/netip"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/google/uuid"
	"github.com/stretchr/testify/require"

	"hardtack/api"
	"hardtack/api/access"
	"hardtack/api/guard"
	"hardtack/api/rest"
	"hardtack/db"
	"hardtack/db/dbtest"
)

// shared is a server with accounts, with limits no test meets by accident.
func shared(t *testing.T, how api.Registration) *client {
	t.Helper()
	return sharedOn(t, dbtest.SQLite, how)
}

func sharedOn(t *testing.T, e dbtest.Engine, how api.Registration) *client {
	t.Helper()
	wide := access.Limit{Per: 1e6, Burst: 1e6}
	return serveOn(t, e, rest.Options{Shared: &rest.Shared{Registration: how, PerKey: wide, PerAddress: wide, Guesses: wide}})
}

const somePassword = "fog on the banks"

// admit makes an account by command and gives its key.
func (c *client) admit(role access.Role, name string) (api.Admitted, string) {
	c.t.Helper()
	a := api.Applicant{Name: name, Role: role}
	if role != access.Boat {
		a.Password = somePassword
	}
	done, err := c.svc.AddAccount(c.t.Context(), a)
	require.NoError(c.t, err)
	return done, "Bearer " + done.Key
}

// who calls, in the matrix.
type who struct {
	name string
	auth string
	call access.Caller
}

// The matrix: every route × every kind of caller, generated from the table of
// rules and held against the running server.
func TestTheMatrixOfRoutesAndRoles(t *testing.T) {
	t.Parallel()
	c := shared(t, api.ByInvitation)
	callers := []who{{"nobody", "", access.Caller{}}, {"a wrong key", "Bearer " + access.NewSecret().Text, access.Caller{}}}
	for _, role := range access.Roles() {
		full, auth := c.admit(role, "full "+string(role))
		callers = append(callers, who{string(role), auth, access.Caller{Account: full.Account.ID, Role: role, Scopes: access.ScopesOf(role)}})
		for _, scope := range access.ScopesOf(role) {
			by := access.Caller{Account: full.Account.ID, Role: role, Scopes: access.ScopesOf(role)}
			key, err := c.svc.NewKey(t.Context(), by, "narrow", []access.Scope{scope}, 0)
			require.NoError(t, err)
			callers = append(callers, who{string(role) + " with " + string(scope), "Bearer " + key, access.Caller{Account: by.Account, Role: role, Scopes: []access.Scope{scope}}})
		}
	}
	n := 0
	for _, route := range rest.Routes() {
		rule := rest.RuleOf(route)
		method, path, _ := strings.Cut(route, " ")
		if route == "DELETE /v1/account" { // would end the callers: tried in a test of its own
			continue
		}
		for _, w := range callers {
			for _, thing := range []string{"none", "other"} {
				n++
				concrete := strings.NewReplacer("{report}", uuid.NewString(), "{port}", "PTHOR", "{item}", someItem, "{currency}", "EUR", "{day}", "2026-06-01",
					"{account}", "none", "{key}", "aaaaaaaa").Replace(path)
				if thing == "other" { // an object of an account that is none of the callers
					concrete = strings.Replace(path, "{report}", otherReport(c), 1)
					concrete = strings.NewReplacer("{key}", otherKey(c), "{port}", "PTHOR", "{item}", someItem, "{currency}", "EUR", "{day}", "2026-06-01", "{account}", "x").Replace(concrete)
				}
				concrete = strings.NewReplacer("{", "", "}", "").Replace(concrete)
				var body any
				if method == "POST" || method == "PUT" {
					body = object{}
				}
				var headers []string
				if w.auth != "" {
					headers = []string{"Authorization", w.auth}
				}
				got := c.do(method, concrete, body, headers...)
				want := access.Decide(rule, w.call)
				if w.name == "a wrong key" {
					want = access.WhoAsks // whatever is asked for
				}
				said := fmt.Sprintf("%s as %s (%s object): %d %s", route, w.name, thing, got.status, got.body)
				switch want {
				case access.NotHere:
					require.Equal(t, http.StatusNotFound, got.status, said)
				case access.WhoAsks:
					require.Equal(t, http.StatusUnauthorized, got.status, said)
					require.NotEmpty(t, got.header.Get("WWW-Authenticate"), said)
				case access.Forbid:
					require.Equal(t, http.StatusForbidden, got.status, said)
				case access.Allow:
					require.NotContains(t, said, "this needs another account", "let in, whatever comes of an empty body")
					require.NotContains(t, said, "a key of an account is needed")
				}
			}
		}
	}
	t.Logf("%d cells", n)
	for _, name := range rest.Ruled() {
		require.Contains(t, rest.Routes(), name, "a rule of no endpoint")
	}
}

// otherReport is a report of an account of its own.
func otherReport(c *client) string {
	c.t.Helper()
	name := "other boat"
	done, err := c.svc.AddAccount(c.t.Context(), api.Applicant{Name: name})
	if err == nil {
		err = c.svc.ClaimReporter(c.t.Context(), access.Caller{Account: done.Account.ID}, "other reporter")
	} else {
		require.ErrorIs(c.t, err, api.ErrConflict)
		err = nil
	}
	require.NoError(c.t, err)
	_, err = c.svc.Record(c.t.Context(), api.Entry{ID: id(4711), Port: "PTHOR", Item: someItem, Day: c.svc.Today(), Found: "none", Reporter: "other reporter", Source: "shelf"})
	require.NoError(c.t, err)
	return id(4711)
}

func (c *client) account(name string) string {
	c.t.Helper()
	all, err := c.svc.Accounts(c.t.Context())
	require.NoError(c.t, err)
	i := slices.IndexFunc(all, func(a api.Account) bool { return a.Name == name })
	require.GreaterOrEqual(c.t, i, 0)
	return all[i].ID
}

func otherKey(c *client) string {
	c.t.Helper()
	keys, err := c.svc.Keys(c.t.Context(), access.Caller{Account: c.account("other boat")})
	require.NoError(c.t, err)
	return keys[0].Prefix
}

// Somebody else's object and no object at all answer word for word the same,
// but for the name that was asked for.
func TestOthersObjectsAnswerLikeNone(t *testing.T) {
	t.Parallel()
	c := shared(t, api.ByInvitation)
	theirs := otherReport(c)
	_, me := c.admit(access.Boat, "petrel")
	none := id(999999)
	plain := func(a answer, name string) string {
		return fmt.Sprint(a.status, strings.ReplaceAll(string(a.body), name, "…"))
	}
	for _, tt := range []struct {
		method, path string
		body         any
	}{
		{"GET", "/v1/reports/%s", nil},
		{"POST", "/v1/reports/%s/withdrawal", object{"reporter": "mine", "day": "2026-06-01"}},
	} {
		a := c.do(tt.method, fmt.Sprintf(tt.path, theirs), tt.body, "Authorization", me)
		b := c.do(tt.method, fmt.Sprintf(tt.path, none), tt.body, "Authorization", me)
		require.Equal(t, plain(b, none), plain(a, theirs), tt.path)
		require.Equal(t, http.StatusNotFound, a.status)
	}
	correct := func(old string) answer {
		return c.do("PUT", "/v1/reports/"+uuid.NewString(), with(coffee(), "reporter", "mine", "replaces", old), "Authorization", me)
	}
	require.Equal(t, plain(correct(none), none), plain(correct(theirs), theirs))
	require.Equal(t, plain(c.do("DELETE", "/v1/keys/aaaaaaaa", nil, "Authorization", me), "aaaaaaaa"),
		plain(c.do("DELETE", "/v1/keys/"+otherKey(c), nil, "Authorization", me), otherKey(c)))
	var page struct{ Reports []object }
	c.do("GET", "/v1/reports", nil, "Authorization", me).want(http.StatusOK).into(&page)
	require.Empty(t, page.Reports)
	c.do("PUT", "/v1/reports/"+uuid.NewString(), with(coffee(), "reporter", "other reporter"), "Authorization", me).problem(http.StatusForbidden)

	c.do("PUT", "/v1/reports/"+uuid.NewString(), with(coffee(), "reporter", "\x00"), "Authorization", me).problem(http.StatusUnprocessableEntity).at(t, "reporter")

	mine := uuid.NewString()
	c.do("PUT", "/v1/reports/"+mine, with(coffee(), "reporter", "mine"), "Authorization", me).want(http.StatusCreated)
	c.do("GET", "/v1/reports/"+mine, nil, "Authorization", me).want(http.StatusOK)
	c.do("GET", "/v1/reports", nil, "Authorization", me).want(http.StatusOK).into(&page)
	require.Len(t, page.Reports, 1)
	_, moderator := c.admit(access.Moderator, "moderator")
	c.do("GET", "/v1/reports", nil, "Authorization", moderator).want(http.StatusOK).into(&page)
	require.Len(t, page.Reports, 2)
}

func TestTheLifeOfAnAccount(t *testing.T) {
	t.Parallel()
	c := shared(t, api.ByInvitation)
	_, moderator := c.admit(access.Moderator, "the moderator")
	c.do("POST", "/v1/accounts", object{"name": "sula"}).problem(http.StatusForbidden)
	var invitation struct{ Invitation string }
	c.do("POST", "/v1/invitations", object{"role": "skipper", "days": 3}, "Authorization", moderator).want(http.StatusCreated).into(&invitation)
	c.do("POST", "/v1/accounts", object{"name": "sula", "role": "moderator", "password": somePassword, "invitation": invitation.Invitation}).problem(http.StatusForbidden)
	var in api.Admitted
	c.do("POST", "/v1/accounts", object{"name": "  Sula  Sula ", "role": "skipper", "password": somePassword, "invitation": invitation.Invitation}).want(http.StatusCreated).into(&in)
	require.Equal(t, "sula sula", in.Account.Name)
	c.do("POST", "/v1/accounts", object{"name": "another", "role": "skipper", "password": somePassword, "invitation": invitation.Invitation}).problem(http.StatusForbidden)
	for _, bad := range []object{{"name": "sula sula", "password": "wrong password"}, {"name": "nobody here", "password": somePassword}} {
		c.do("POST", "/v1/logins", bad).problem(http.StatusUnauthorized)
	}
	a := c.do("POST", "/v1/logins", object{"name": "SULA SULA", "password": somePassword}).want(http.StatusCreated)
	require.Equal(t, "no-store", a.header.Get("Cache-Control"))
	a.into(&in)
	me := "Bearer " + in.Key
	var key struct{ Key string }
	c.do("POST", "/v1/keys", object{"label": "galley", "scopes": []string{"moderate"}}, "Authorization", me).problem(http.StatusUnprocessableEntity)
	c.do("POST", "/v1/keys", object{"label": "galley"}, "Authorization", me).want(http.StatusCreated).into(&key)
	galley := "Bearer " + key.Key
	c.do("GET", "/v1/keys", nil, "Authorization", galley).problem(http.StatusForbidden)
	listed := c.do("GET", "/v1/keys", nil, "Authorization", me).want(http.StatusOK)
	require.NotContains(t, string(listed.body), key.Key[12:], "a key is shown once")
	prefix, _ := access.PrefixOf(key.Key)
	require.Contains(t, string(listed.body), prefix)

	one := uuid.NewString()
	c.do("PUT", "/v1/reports/"+one, with(coffee(), "note", "mine alone"), "Authorization", galley).want(http.StatusCreated)
	c.do("DELETE", "/v1/keys/"+prefix, nil, "Authorization", me).want(http.StatusNoContent)
	c.do("GET", "/v1/account", nil, "Authorization", galley).problem(http.StatusUnauthorized)
	c.do("GET", "/v1/account", nil, "Authorization", me).want(http.StatusOK)

	c.do("PUT", "/v1/accounts/"+in.Account.ID+"/state", object{"state": "suspended"}, "Authorization", moderator).want(http.StatusOK)
	c.do("GET", "/v1/account", nil, "Authorization", me).problem(http.StatusUnauthorized)
	c.do("POST", "/v1/logins", object{"name": "sula sula", "password": somePassword}).problem(http.StatusUnauthorized)
	c.do("PUT", "/v1/accounts/"+in.Account.ID+"/state", object{"state": "active"}, "Authorization", moderator).want(http.StatusOK)
	c.do("POST", "/v1/logins", object{"name": "sula sula", "password": somePassword}).want(http.StatusCreated).into(&in)
	c.do("DELETE", "/v1/account", nil, "Authorization", "Bearer "+in.Key).want(http.StatusNoContent)
	c.do("POST", "/v1/logins", object{"name": "sula sula", "password": somePassword}).problem(http.StatusUnauthorized)
	rs, _, err := c.svc.Reports(t.Context(), db.Filter{}, db.Cursor{}, 10)
	require.NoError(t, err)
	require.Len(t, rs, 1)
	require.Empty(t, rs[0].Note)
	require.True(t, strings.HasPrefix(rs[0].Reporter, "erased-"))
	audit := string(c.do("GET", "/v1/audit", nil, "Authorization", moderator).want(http.StatusOK).body)
	for _, what := range []string{"invite", "add account", "add key", "revoke key", "set suspended", "erase account"} {
		require.Contains(t, audit, `"what":"`+what+`"`)
	}
	require.NotContains(t, audit, key.Key[12:])
}

func TestOpenRegistration(t *testing.T) {
	t.Parallel()
	c := shared(t, api.Open)
	c.do("POST", "/v1/accounts", object{"name": "sula"}).want(http.StatusCreated)
	c.do("POST", "/v1/accounts", object{"name": "Sula"}).problem(http.StatusConflict)
	c.do("POST", "/v1/accounts", object{"name": "x"}).problem(http.StatusUnprocessableEntity)
	c.do("POST", "/v1/accounts", object{"name": "boss", "role": "moderator", "password": somePassword}).problem(http.StatusForbidden)
	closed := shared(t, api.Closed)
	closed.do("POST", "/v1/accounts", object{"name": "sula"}).problem(http.StatusForbidden)
}

func TestWithoutAccountsThereAreNone(t *testing.T) {
	t.Parallel()
	c := serve(t, rest.Options{})
	c.do("POST", "/v1/accounts", object{"name": "sula"}).problem(http.StatusNotFound)
	c.do("GET", "/v1/audit", nil).problem(http.StatusNotFound)
}

func TestTooManyCalls(t *testing.T) {
	t.Parallel()
	c := serve(t, rest.Options{Proxies: guard.Proxies{netip.MustParsePrefix("10.0.0.0/8")}, Shared: &rest.Shared{
		PerKey: access.Limit{Per: 1, Burst: 5}, PerAddress: access.Limit{Per: 1, Burst: 5}, Guesses: access.Limit{Per: 0.1, Burst: 3},
	}})
	_, me := c.admit(access.Boat, "petrel")
	_, she := c.admit(access.Boat, "she")
	refused := func(n int, headers ...string) (wait string) {
		for range n {
			a := c.do("GET", "/v1/items/"+someItem, nil, headers...)
			if a.status == http.StatusTooManyRequests {
				return a.header.Get("Retry-After")
			}
			require.Equal(t, http.StatusOK, a.status)
		}
		return ""
	}
	require.Empty(t, refused(5, "Authorization", me))
	require.Equal(t, "1", refused(3, "Authorization", me))
	require.Empty(t, refused(2, "Authorization", she), "another key has its own count")
	require.NotEmpty(t, refused(9))

	guess := func() int {
		return c.do("GET", "/v1/account", nil, "Authorization", "Bearer "+access.NewSecret().Text).status
	}
	for range 3 {
		require.Equal(t, http.StatusUnauthorized, guess())
	}
	require.Equal(t, http.StatusTooManyRequests, guess(), "guessing keys ends soon")
	require.Equal(t, http.StatusTooManyRequests, c.do("POST", "/v1/logins", object{"name": "petrel", "password": "x"}).status)
	require.Equal(t, http.StatusTooManyRequests, c.do("GET", "/v1/account", nil, "Authorization", she, "X-Forwarded-For", "192.0.2.1").status, "no header makes another address")

	behind := serve(t, rest.Options{
		Proxies: guard.Proxies{netip.MustParsePrefix("127.0.0.0/8")},
		Shared:  &rest.Shared{PerAddress: access.Limit{Per: 0.1, Burst: 2}},
	})
	from := func(address string) int {
		return behind.do("GET", "/v1/items/"+someItem, nil, "X-Forwarded-For", address).status
	}
	for range 2 {
		require.Equal(t, http.StatusOK, from("192.0.2.1"))
	}
	require.Equal(t, http.StatusTooManyRequests, from("192.0.2.1"))
	require.Equal(t, http.StatusTooManyRequests, from("198.51.100.1, 192.0.2.1"), "what the caller sent itself counts for nothing")
	require.Equal(t, http.StatusOK, from("192.0.2.2"), "another caller of the same proxy")
}

func TestAPasswordIsChanged(t *testing.T) {
	t.Parallel()
	c := shared(t, api.ByInvitation)
	done, first := c.admit(access.Skipper, "skipper")
	in := api.Admitted{}
	login := func(password string) answer {
		return c.do("POST", "/v1/logins", object{"name": "skipper", "password": password})
	}
	login(somePassword).want(http.StatusCreated).into(&in)
	me := "Bearer " + in.Key
	change := func(old, password string) answer {
		return c.do("PUT", "/v1/account/password", object{"old": old, "password": password}, "Authorization", me)
	}
	change("not the old one", "another password").problem(http.StatusUnauthorized)
	change(somePassword, "short").problem(http.StatusUnprocessableEntity).at(t, "password")
	change(somePassword, "another password").want(http.StatusCreated).into(&in)
	c.do("GET", "/v1/account", nil, "Authorization", me).problem(http.StatusUnauthorized)
	c.do("GET", "/v1/account", nil, "Authorization", "Bearer "+in.Key).want(http.StatusOK)
	c.do("GET", "/v1/account", nil, "Authorization", first).want(http.StatusOK) // a boat at sea goes on
	login(somePassword).problem(http.StatusUnauthorized)
	login("another password").want(http.StatusCreated)
	require.NotEmpty(t, done.Account.ID)
	_, boat := c.admit(access.Boat, "boat")
	c.do("PUT", "/v1/account/password", object{"old": "", "password": "another password"}, "Authorization", boat).problem(http.StatusForbidden)
}

func TestALoginEnds(t *testing.T) {
	t.Parallel()
	w, err := world()
	require.NoError(t, err)
	now := noon
	svc := api.New(dbtest.Open(t, dbtest.SQLite), w, api.Options{Now: func() time.Time { return now }})
	_, err = svc.AddAccount(t.Context(), api.Applicant{Name: "skipper", Role: access.Skipper, Password: somePassword})
	require.NoError(t, err)
	in, err := svc.Login(t.Context(), api.Credentials{Name: "skipper", Password: somePassword})
	require.NoError(t, err)
	_, err = svc.Caller(t.Context(), in.Key)
	require.NoError(t, err)
	for range 12 { // used now and then, it holds for twelve hours
		_, err = svc.Caller(t.Context(), in.Key)
		require.NoError(t, err)
		now = now.Add(59 * time.Minute)
	}
	_, err = svc.Caller(t.Context(), in.Key)
	require.NoError(t, err)
	now = noon.Add(12 * time.Hour)
	_, err = svc.Caller(t.Context(), in.Key)
	require.ErrorIs(t, err, api.ErrNobody)
}
