package guard_test

import (
	"net/http"
	"net/netip"
	"testing"

	"github.com/stretchr/testify/require"

	"hardtack/api/guard"
)

func TestWhoCalls(t *testing.T) {
	t.Parallel()
	ps := guard.Proxies{netip.MustParsePrefix("10.0.0.0/8"), netip.MustParsePrefix("fd00::/8")}
	for _, tt := range []struct {
		from string
		told []string
		want string
	}{
		{"192.0.2.7:1", nil, "192.0.2.7"},
		{"192.0.2.7:1", []string{"198.51.100.1"}, "192.0.2.7"}, // no proxy: not believed
		{"10.0.0.1:1", []string{"198.51.100.1"}, "198.51.100.1"},
		{"[::ffff:10.0.0.1]:1", []string{"198.51.100.1"}, "198.51.100.1"},
		{"[fd00::1]:1", []string{"2001:db8::1"}, "2001:db8::"},
		{"[2001:db8:1:2:3:4:5:6]:1", nil, "2001:db8:1:2::"},
		{"[fe80::1%eth0]:1", nil, "fe80::"},
		{"10.0.0.1:1", []string{"203.0.113.9, 198.51.100.1"}, "198.51.100.1"}, // what the caller itself sent stands before
		{"10.0.0.1:1", []string{"203.0.113.9", "198.51.100.1"}, "198.51.100.1"},
		{"10.0.0.1:1", []string{"203.0.113.9,198.51.100.1 , 10.0.0.2"}, "198.51.100.1"}, // a proxy behind another
		{"10.0.0.1:1", []string{"nobody"}, "10.0.0.1"},
		{"10.0.0.1:1", []string{"198.51.100.1, "}, "10.0.0.1"},
		{"10.0.0.1:1", nil, "10.0.0.1"},
		{"10.0.0.1:1", []string{"10.0.0.3"}, "10.0.0.3"},
		{"@", []string{"198.51.100.1"}, "@"},
	} {
		r := &http.Request{RemoteAddr: tt.from, Header: http.Header{"X-Forwarded-For": tt.told}}
		require.Equal(t, tt.want, ps.Caller(r), "%+v", tt)
		require.Equal(t, guard.Proxies(nil).Caller(&http.Request{RemoteAddr: tt.from}), guard.Proxies(nil).Caller(r), "nobody is believed")
	}
}

func TestProxiesAreRead(t *testing.T) {
	t.Parallel()
	ps, err := guard.ParseProxies([]string{"10.0.0.7", "fd00::/8"})
	require.NoError(t, err)
	require.Equal(t, guard.Proxies{netip.MustParsePrefix("10.0.0.7/32"), netip.MustParsePrefix("fd00::/8")}, ps)
	for _, bad := range []string{"", "proxy", "10.0.0.0/33"} {
		_, err := guard.ParseProxies([]string{bad})
		require.Error(t, err, bad)
	}
}
