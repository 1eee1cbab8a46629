package guard

import (
	"fmt"
	"net"
	"net/http"
	"net/netip"
	"strings"
)

// Proxies are the networks of the proxies in front of a server, whose word is
// taken for who called them.
type Proxies []netip.Prefix

// ParseProxies reads addresses and networks, 10.0.0.7 or 10.0.0.0/8.
func ParseProxies(texts []string) (Proxies, error) {
	var out Proxies
	for _, text := range texts {
		p, err := netip.ParsePrefix(text)
		if a, bad := netip.ParseAddr(text); bad == nil {
			p, err = netip.PrefixFrom(a, a.BitLen()), nil
		}
		if err != nil {
			return nil, fmt.Errorf("found %q, want an address or a network, 10.0.0.7 or 10.0.0.0/8", text)
		}
		out = append(out, p)
	}
	return out, nil
}

// Caller is the address a request came from: of the connection, or, where that
// is a proxy's, the last one in X-Forwarded-For that is no proxy's. What stands
// before it may be anybody's invention. Of IPv6 it is the /64 the address is in,
// for a caller has all of one (RFC 6177).
func (ps Proxies) Caller(r *http.Request) string {
	host, _, err := net.SplitHostPort(r.RemoteAddr)
	if err != nil {
		host = r.RemoteAddr
	}
	told := strings.Split(strings.Join(r.Header.Values("X-Forwarded-For"), ","), ",")
	for i := len(told) - 1; i >= 0 && ps.have(host); i-- {
		next := strings.TrimSpace(told[i])
		if _, err := netip.ParseAddr(next); err != nil {
			break // the proxy's own calls, or nothing it should say
		}
		host = next
	}
	if a, err := netip.ParseAddr(host); err == nil && !a.Unmap().Is4() {
		return netip.PrefixFrom(a.WithZone(""), 64).Masked().Addr().String()
	}
	return host
}

func (ps Proxies) have(host string) bool {
	a, err := netip.ParseAddr(host)
	if err != nil {
		return false
	}
	for _, p := range ps {
		if p.Contains(a.Unmap().WithZone("")) {
			return true
		}
	}
	return false
}
