package access_test

import (
	"fmt"
	"regexp"
	"strings"
	"testing"
	"time"
	"unicode/utf8"

	"github.com/stretchr/testify/require"

	"hardtack/api/access"
)

func TestSecrets(t *testing.T) {
	t.Parallel()
	seen := map[string]bool{}
	form := regexp.MustCompile(`^ht_[a-z2-7]{8}_[a-z2-7]{52}$`) // 52 letters of 5 bits hold 256
	for range 200 {
		s := access.NewSecret()
		require.Regexp(t, form, s.Text)
		require.False(t, seen[s.Text] || seen[s.Prefix])
		seen[s.Text], seen[s.Prefix] = true, true
		prefix, ok := access.PrefixOf(s.Text)
		require.True(t, ok)
		require.Equal(t, s.Prefix, prefix)
		require.True(t, access.Fits(s.Text, s.Sum))
		require.False(t, access.Fits(s.Text+"a", s.Sum))
		require.NotContains(t, s.Sum, s.Text[12:])
	}
	for _, bad := range []string{"", "ht_", "ht_abcdefgh_", "xx_abcdefgh_" + strings.Repeat("a", 52), "ht_abc_" + strings.Repeat("a", 52), strings.Repeat("_", 99)} {
		_, ok := access.PrefixOf(bad)
		require.False(t, ok, bad)
	}
}

func TestSumIsSHA256(t *testing.T) {
	t.Parallel()
	// FIPS 180-2, appendix B.1
	require.Equal(t, "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad", access.SumOf("abc"))
}

func TestPasswords(t *testing.T) {
	t.Parallel()
	kept, err := access.HashPassword("São Jorge, fog at noon")
	require.NoError(t, err)
	require.True(t, strings.HasPrefix(kept, "$argon2id$v=19$m=19456,t=2,p=1$"), kept)
	require.True(t, access.CheckPassword("São Jorge, fog at noon", kept))
	require.False(t, access.CheckPassword("são Jorge, fog at noon", kept))
	again, err := access.HashPassword("São Jorge, fog at noon")
	require.NoError(t, err)
	require.NotEqual(t, kept, again, "salted")
	for _, bad := range []string{"", "short", strings.Repeat("x", 129), "aaaaaaaaaaaa", "Password123", "\xff\xff\xff\xff\xff\xff\xff\xff\xff\xff\xff"} {
		_, err := access.HashPassword(bad)
		require.ErrorIs(t, err, access.ErrPassword, bad)
	}
	for _, bad := range []string{"", "x", "$argon2id$v=19$m=99999999,t=2,p=1$AAAA$AAAA", "$argon2id$v=19$m=19456,t=2,p=1$!$!", "$argon2id$v=19$m=19456,t=2,p=1$AAAA$AAAA"} {
		require.False(t, access.CheckPassword("São Jorge, fog at noon", bad), bad)
	}
}

// At least the 3,000 commonest passwords of the length asked for are refused.
// Those named here head the published lists of leaked ones (from memory).
func TestTheCommonestPasswordsAreRefused(t *testing.T) {
	t.Parallel()
	seen := map[string]bool{}
	access.EachLeaked(func(p string) bool {
		n := utf8.RuneCountInString(p)
		require.True(t, n >= 10 && n <= 128 && strings.ToLower(p) == p && !seen[p], p)
		seen[p] = true
		return true
	})
	require.GreaterOrEqual(t, len(seen), 3000)
	for _, p := range []string{"1234567890", "qwertyuiop", "1q2w3e4r5t", "password123", "PassWord123", "0123456789", "iloveyou123", "basketball"} {
		_, err := access.HashPassword(p)
		require.ErrorIs(t, err, access.ErrPassword, p)
	}
}

// What says where the password is for, or whose it is, counts for nothing.
func TestWordsOfTheServerAreNoPassword(t *testing.T) {
	t.Parallel()
	for _, p := range []string{"hardtack2026", "Hardt4ck-2026", "skipperskipper", "the boat login", "sula-sula-2026", "Sula5ula Sula!"} {
		_, err := access.HashPassword(p, "sula sula")
		require.ErrorIs(t, err, access.ErrPassword, p)
	}
	for _, p := range []string{"a boat of seven herons", "sula flies over salt marshes", "2026 hardtack for everybody"} {
		_, err := access.HashPassword(p, "sula sula")
		require.NoError(t, err, p)
	}
}

// A password that somebody else has set ends by itself.
func TestAPasswordForAWhile(t *testing.T) {
	t.Parallel()
	ends := time.UnixMilli(1_800_000_000_000)
	text, kept := access.TemporaryPassword(ends)
	require.True(t, access.CheckPassword(text, kept))
	require.False(t, access.CheckPassword(text+"x", kept))
	until, ok := access.EndOfPassword(kept)
	require.True(t, ok)
	require.True(t, until.Equal(ends))
	usual, err := access.HashPassword("fog on the banks")
	require.NoError(t, err)
	_, ok = access.EndOfPassword(usual)
	require.False(t, ok)
	_, ok = access.EndOfPassword("")
	require.False(t, ok)
}

// The whole matrix of rules, roles and scopes by one line each.
func TestDecide(t *testing.T) {
	t.Parallel()
	all := []access.Scope{access.Reports, access.Accounts, access.Moderate}
	for _, tt := range []struct {
		rule   access.Rule
		caller access.Caller
		want   access.Verdict
	}{
		{access.Rule{}, access.Caller{Account: "m", Role: access.Moderator, Scopes: all}, access.NotHere},
		{access.Rule{Who: access.Anybody}, access.Caller{}, access.Allow},
		{access.Rule{Who: access.Member, Scope: access.Reports}, access.Caller{}, access.WhoAsks},
		{access.Rule{Who: access.Member, Scope: access.Reports}, access.Caller{Account: "a", Role: access.Boat, Scopes: all}, access.Allow},
		{access.Rule{Who: access.Member, Scope: access.Reports}, access.Caller{Account: "a", Role: access.Boat, Scopes: []access.Scope{access.Accounts}}, access.Forbid},
		{access.Rule{Who: access.Member, Scope: access.Reports}, access.Caller{Account: "a", Role: "admiral", Scopes: all}, access.Forbid},
		{access.Rule{Who: access.Moderated, Scope: access.Moderate}, access.Caller{Account: "a", Role: access.Skipper, Scopes: all}, access.Forbid},
		{access.Rule{Who: access.Moderated, Scope: access.Moderate}, access.Caller{Account: "a", Role: access.Moderator, Scopes: all[:2]}, access.Forbid},
		{access.Rule{Who: access.Moderated, Scope: access.Moderate}, access.Caller{Account: "a", Role: access.Moderator, Scopes: all}, access.Allow},
		{access.Rule{Who: access.Moderated, Scope: access.Moderate}, access.Caller{}, access.WhoAsks},
	} {
		require.Equal(t, tt.want, access.Decide(tt.rule, tt.caller), "%+v", tt)
	}
}

func TestLimits(t *testing.T) {
	t.Parallel()
	now := time.Date(2026, 6, 15, 12, 0, 0, 0, time.UTC)
	l := access.NewLimits(access.Limit{Per: 2, Burst: 3}, 10)
	for i := range 3 {
		_, ok := l.Take("a", now)
		require.True(t, ok, i)
	}
	wait, ok := l.Take("a", now)
	require.False(t, ok)
	require.InDelta(t, 0.5, wait.Seconds(), 0.01)
	_, ok = l.Take("b", now)
	require.True(t, ok, "another one's count")
	_, ok = l.Take("a", now.Add(wait))
	require.True(t, ok)

	flood := 0
	for i := range 1000 {
		if _, ok := l.Take(fmt.Sprint("flood ", i), now); ok {
			flood++
		}
	}
	require.LessOrEqual(t, flood, 8+3, "names beyond the most share one count")
	_, ok = l.Take("late", now.Add(time.Hour))
	require.True(t, ok, "the quiet ones were forgotten")
}
