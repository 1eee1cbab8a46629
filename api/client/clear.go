package client

import (
	"net/netip"
	"slices"
	"strings"
)

// near says whether a host is this machine or one of its own network, where a
// key may travel in the clear: anywhere else somebody reads it on the way.
// Names are those no server of the open net has: RFC 6762 (.local), RFC 8375
// (.home.arpa), ICANN's .internal, and .lan (common practice, no source).
func near(host string) bool {
	if a, err := netip.ParseAddr(host); err == nil {
		a = a.Unmap()
		return a.IsLoopback() || a.IsPrivate() || a.IsLinkLocalUnicast()
	}
	host = strings.ToLower(strings.TrimSuffix(host, "."))
	return !strings.Contains(host, ".") || slices.ContainsFunc([]string{".local", ".lan", ".home.arpa", ".internal", ".localhost"}, func(end string) bool {
		return strings.HasSuffix(host, end)
	})
}
