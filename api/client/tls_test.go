package client_test

import (
	"crypto/tls"
	"crypto/x509"
	"io"
	"log"
	"net/http"
	"net/http/httptest"
	"testing"

	"github.com/stretchr/testify/require"

	"hardtack/api/client"
)

// A server that cannot prove its name, or speaks an old TLS, is not spoken to:
// no key goes there, and not in the clear either.
func TestOnlyAServerThatProvesItsName(t *testing.T) {
	t.Parallel()
	for name, tt := range map[string]struct {
		max     uint16
		trusted bool
		ok      bool
	}{
		"known":            {0, true, true},
		"signed by nobody": {0, false, false},
		"TLS 1.1":          {tls.VersionTLS11, true, false},
		"TLS 1.2":          {tls.VersionTLS12, true, true},
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			heard := ""
			s := httptest.NewUnstartedServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
				heard = r.Header.Get("Authorization")
				w.WriteHeader(http.StatusForbidden)
			}))
			s.TLS = &tls.Config{MinVersion: tls.VersionTLS10, MaxVersion: tt.max}
			s.Config.ErrorLog = log.New(io.Discard, "", 0)
			s.StartTLS()
			t.Cleanup(s.Close)
			o := client.Options{Key: "ht_key", Tries: 1}
			if tt.trusted {
				roots := x509.NewCertPool()
				roots.AddCert(s.Certificate())
				o.HTTP = client.Patient(&tls.Config{RootCAs: roots})
			}
			c, err := client.New(s.URL, o)
			require.NoError(t, err)
			defer c.Close()
			_, err = c.Post(ctx, nil)
			require.Error(t, err)
			require.Equal(t, tt.ok, heard != "", "%v", err)
		})
	}
}

// Who sends a caller on gets neither the call nor the key there.
func TestNoRedirectIsFollowed(t *testing.T) {
	t.Parallel()
	called := false
	other := httptest.NewServer(http.HandlerFunc(func(http.ResponseWriter, *http.Request) { called = true }))
	t.Cleanup(other.Close)
	for _, status := range []int{http.StatusMovedPermanently, http.StatusFound, http.StatusTemporaryRedirect, http.StatusPermanentRedirect} {
		s := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) { http.Redirect(w, r, other.URL, status) }))
		t.Cleanup(s.Close)
		c, err := client.New(s.URL, client.Options{Key: "ht_key", Tries: 1})
		require.NoError(t, err)
		_, err = c.Post(ctx, nil)
		var p *client.Problem
		require.ErrorAs(t, err, &p)
		require.Equal(t, status, p.Status)
	}
	require.False(t, called)
}

// A key goes in the clear to machines of one's own network only.
func TestAKeyIsNotSentInTheClear(t *testing.T) {
	t.Parallel()
	for address, ok := range map[string]bool{
		"http://localhost:8080": true, "http://127.0.0.1:1": true, "http://[::1]:1": true, "http://192.168.8.2": true, "http://10.1.2.3": true,
		"http://[fe80::1]": true, "http://boat:8080": true, "http://boat.local": true, "http://BOAT.lan.": true, "https://boats.example": true,
		"http://boats.example": false, "http://boats.example:443": false, "http://192.0.2.1": false, "http://[2001:db8::1]": false,
		"http://boat.local.example": false, "http://local.": true, "http://127.0.0.1.example": false, "http://lan.example": false,
	} {
		_, err := client.New(address, client.Options{Key: "ht_key"})
		if ok {
			require.NoError(t, err, address)
		} else {
			require.ErrorIs(t, err, client.ErrAddress, address)
		}
		_, err = client.New(address, client.Options{})
		require.NoError(t, err, "without a key")
	}
}
