package main

import (
	"bytes"
	"context"
	"errors"
	"net/http"
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/pquerna/otp/totp"
	"github.com/stretchr/testify/require"
)

// authenticator types the code of the secret that was said before.
type authenticator struct {
	said *noise
	at   time.Time
}

func (a authenticator) Read(p []byte) (int, error) {
	secret := regexp.MustCompile(`secret: ([A-Z2-7]+)`).FindStringSubmatch(a.said.String())
	if secret == nil {
		return 0, errors.New("no secret was said")
	}
	code, err := totp.GenerateCode(secret[1], a.at)
	return copy(p, code+"\n"), err
}

// A moderator of a server moderates once a second factor is set up; who loses
// everything is helped by the operator.
func TestAModeratorsSecondFactor(t *testing.T) {
	t.Parallel()
	u := user(t)
	const today = "2026-09-05"
	require.Contains(t, u.ok("account"), "No accounts.", "none that everybody knows")
	r := u.runWith("herons at low water\n", "account", "add", "boss", "--role", "moderator")
	require.Equal(t, exitOK, r.code, r.err)
	id, first := strings.Fields(r.out)[0], strings.Fields(r.out)[1]
	require.Equal(t, exitUsage, u.runWith("123456\n", "account", "pair", id).code, "not the code")

	var log noise
	url, stop := u.shares(&log, today, "127.0.0.1:0")
	defer stop()
	audit := func(key string) int { status, _ := get(t, http.MethodGet, url+"/v1/audit", key, ""); return status }
	login := func(password, code string) (int, string) {
		status, body := get(t, http.MethodPost, url+"/v1/logins", "", `{"name":"boss","password":"`+password+`","code":"`+code+`"}`)
		key := regexp.MustCompile(`"key":"([^"]+)"`).FindStringSubmatch(body)
		if key == nil {
			return status, ""
		}
		return status, key[1]
	}
	require.Equal(t, http.StatusForbidden, audit(first))

	said, out := &noise{}, &bytes.Buffer{}
	noon, err := time.Parse(time.RFC3339, today+"T12:00:00Z")
	require.NoError(t, err)
	require.Equal(t, exitOK, run(context.Background(), []string{"account", "pair", id}, u.getenv, authenticator{said, noon}, out, said), said)
	codes := strings.Fields(out.String())
	require.Len(t, codes, 10)
	status, _ := login("herons at low water", "")
	require.Equal(t, http.StatusUnauthorized, status)
	status, key := login("herons at low water", codes[0])
	require.Equal(t, http.StatusCreated, status)
	require.Equal(t, http.StatusOK, audit(key))

	password := strings.TrimSpace(u.ok("account", "reset", id))
	require.Equal(t, http.StatusUnauthorized, audit(key), "logins end")
	status, _ = login(password, "")
	require.Equal(t, http.StatusUnauthorized, status, "the second factor stays")
	require.Equal(t, exitUsage, u.run("account", "unpair", id).code)
	u.ok("account", "unpair", id, "--yes")
	require.Equal(t, exitNotFound, u.run("account", "unpair", id, "--yes").code)
	require.Equal(t, exitNotFound, u.run("account", "reset", "nobody").code)
}
