// Package guard decides who may talk to a server in a boat's own network: which
// names it answers to, and which sites' pages may change anything.
package guard

import (
	"net"
	"net/http"
	"net/url"
	"slices"
	"strings"
)

// Hosts are names a server answers to, without port, beside those of this
// machine (localhost, loopback addresses).
type Hosts []string

// Ours says whether a request's Host is one of them. A page of another site
// that reaches the server by a name of its own (DNS rebinding) is not.
func (hs Hosts) Ours(host string) bool {
	name := host
	if h, _, err := net.SplitHostPort(host); err == nil {
		name = h
	}
	name = strings.ToLower(strings.Trim(name, "[]"))
	if slices.ContainsFunc(hs, func(h string) bool { return strings.EqualFold(h, name) }) {
		return true
	}
	ip := net.ParseIP(name)
	return name == "localhost" || ip != nil && ip.IsLoopback()
}

// Safe says whether a method changes nothing (RFC 9110, 9.2.1).
func Safe(method string) bool {
	return method == http.MethodGet || method == http.MethodHead || method == http.MethodOptions
}

// SameOrigin says whether an Origin header, or an address, is of the host.
func SameOrigin(origin, host string) bool {
	u, err := url.Parse(origin)
	return err == nil && u.Host != "" && strings.EqualFold(u.Host, host)
}

// OwnForm says whether a request that changes something was sent by a page of
// this server: browsers send Origin with every form, old ones only Referer.
// Whatever says neither is no page of ours.
func OwnForm(r *http.Request) bool {
	if o := r.Header.Get("Origin"); o != "" {
		return SameOrigin(o, r.Host)
	}
	return SameOrigin(r.Referer(), r.Host)
}
