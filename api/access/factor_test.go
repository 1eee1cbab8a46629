package access_test

import (
	"encoding/base32"
	"net/url"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"hardtack/api/access"
)

// RFC 6238, appendix B, SHA-1: the secret is the 20 letters "12345678901234567890".
// The codes there have eight digits; six are the last six of them (RFC 4226, 5.3).
func TestCodesOfTheRFC(t *testing.T) {
	t.Parallel()
	secret := base32.StdEncoding.EncodeToString([]byte("12345678901234567890"))
	for seconds, eight := range map[int64]string{
		59: "94287082", 1111111109: "07081804", 1111111111: "14050471", 1234567890: "89005924", 2000000000: "69279037", 20000000000: "65353130",
	} {
		code := eight[2:]
		at := time.Unix(seconds, 0)
		step, ok := access.StepOf(secret, code, at)
		require.True(t, ok, eight)
		require.Equal(t, seconds/30, step)
		_, ok = access.StepOf(secret, code, at.Add(30*time.Second))
		require.True(t, ok, "the call took a while")
		_, ok = access.StepOf(secret, code, at.Add(60*time.Second))
		require.False(t, ok, "over")
		_, ok = access.StepOf(secret, code, at.Add(-30*time.Second))
		require.False(t, ok, "not yet")
		_, ok = access.StepOf(secret, eight, at)
		require.False(t, ok)
	}
	for _, bad := range []string{"", "12345", "1234567", "abcdef", " 87082"} {
		_, ok := access.StepOf(secret, bad, time.Unix(59, 0))
		require.False(t, ok, bad)
	}
}

func TestNewFactors(t *testing.T) {
	t.Parallel()
	seen := map[string]bool{}
	for range 50 {
		f, err := access.NewFactor("sula sula")
		require.NoError(t, err)
		require.Regexp(t, `^[A-Z2-7]{32}$`, f.Secret, "160 bits")
		require.False(t, seen[f.Secret])
		seen[f.Secret] = true
		u, err := url.Parse(f.Address)
		require.NoError(t, err)
		require.Equal(t, "otpauth", u.Scheme)
		require.Equal(t, "/Hardtack:sula sula", u.Path)
		require.Equal(t, f.Secret, u.Query().Get("secret"))
		require.Equal(t, "30", u.Query().Get("period"))
	}
}

func TestRecoveryCodes(t *testing.T) {
	t.Parallel()
	codes, sums := access.NewRecoveryCodes()
	more, _ := access.NewRecoveryCodes()
	require.Len(t, codes, 10)
	seen := map[string]bool{}
	for _, c := range append(codes, more...) {
		require.Regexp(t, `^([a-z2-7]{4}-){5}[a-z2-7]{4}$`, c, "24 letters of 5 bits hold 120")
		require.False(t, seen[c])
		seen[c] = true
	}
	for i, c := range codes {
		require.Equal(t, sums[i], access.RecoverySum(c))
		require.NotContains(t, sums[i], c[:4])
	}
	require.Equal(t, access.RecoverySum("abcd-efgh"), access.RecoverySum(" ABCD EFGH"))
}
