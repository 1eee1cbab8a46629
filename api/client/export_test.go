package client

import (
	"crypto/tls"
	"net/http"
)

// Patient is the usual client, with the tests' own certificates.
func Patient(c *tls.Config) *http.Client {
	h := patient()
	h.Transport.(*http.Transport).TLSClientConfig = c
	return h
}
