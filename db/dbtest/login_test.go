package dbtest_test

import (
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"hardtack/db"
)

func login(account, prefix string, created int64) db.Login {
	return db.Login{Key: db.Key{Prefix: prefix, Account: account, Sum: "s", Label: "login", CreatedMs: created, EndsMs: 1000}, Most: 2, How: "log in"}
}

// holding are the prefixes of an account's keys that were not revoked.
func holding(t *testing.T, d *db.DB, account string) (out []string) {
	t.Helper()
	keys, err := d.Keys(ctx, account)
	require.NoError(t, err)
	for _, k := range keys {
		if k.RevokedMs == 0 {
			out = append(out, k.Prefix)
		}
	}
	return out
}

func loginsAreFew(t *testing.T, d *db.DB) {
	d.Now = func() time.Time { return time.UnixMilli(100) }
	addAccount(t, d, "a")
	require.NoError(t, d.AddKey(ctx, db.Key{Prefix: "k", Account: "a", Sum: "s", Label: "galley", CreatedMs: 1}))
	require.NoError(t, d.AddLogin(ctx, login("b", "other", 2)))
	require.NoError(t, d.AddLogin(ctx, login("a", "p", 2)))
	require.NoError(t, d.AddLogin(ctx, login("a", "q", 3)))
	require.NoError(t, d.UseKey(ctx, "p", 50))
	require.NoError(t, d.UseKey(ctx, "p", 40), "an older note changes nothing")
	got, err := d.Key(ctx, "p")
	require.NoError(t, err)
	require.EqualValues(t, 50, got.UsedMs)
	require.NoError(t, d.AddLogin(ctx, login("a", "r", 4)))
	require.Equal(t, []string{"k", "p", "r"}, holding(t, d, "a"), "q was quiet longest")
	follows := login("a", "s", 5)
	follows.Follows = "p"
	require.NoError(t, d.AddLogin(ctx, follows))
	require.Equal(t, []string{"k", "r", "s"}, holding(t, d, "a"))
	for _, no := range []string{"k", "other"} { // no login, and another account's
		follows = login("a", "t"+no, 6)
		follows.Follows = no
		require.NoError(t, d.AddLogin(ctx, follows))
	}
	require.Equal(t, []string{"k", "tk", "tother"}, holding(t, d, "a"))
	require.Equal(t, []string{"other"}, holding(t, d, "b"))
	require.ErrorIs(t, d.AddLogin(ctx, login("a", "k", 7)), db.ErrConflict)
}

func factorsComeAndGo(t *testing.T, d *db.DB) {
	d.Now = func() time.Time { return time.UnixMilli(100) }
	addAccount(t, d, "a")
	_, err := d.Factor(ctx, "a")
	require.ErrorIs(t, err, db.ErrNotFound)
	require.NoError(t, d.OfferFactor(ctx, "a", "a", "ONE"))
	require.NoError(t, d.OfferFactor(ctx, "a", "a", "TWO"), "offered again")
	require.NoError(t, d.AddLogin(ctx, login("a", "p", 2)))
	require.NoError(t, d.AddKey(ctx, db.Key{Prefix: "k", Account: "a", Sum: "s", Label: "galley", CreatedMs: 1}))
	require.ErrorIs(t, d.UseStep(ctx, "a", 5), db.ErrStale, "not in force")
	require.ErrorIs(t, d.ConfirmFactor(ctx, "a", db.Factor{Account: "a", Secret: "ONE", SinceMs: 7}, []string{"x"}, "login"), db.ErrStale)
	require.ErrorIs(t, d.UseRecoveryCode(ctx, "a", "x"), db.ErrNotFound, "nothing of it was kept")
	want := db.Factor{Account: "a", Secret: "TWO", SinceMs: 7, Step: 3}
	require.NoError(t, d.ConfirmFactor(ctx, "a", want, []string{"x", "y"}, "login"))
	got, err := d.Factor(db.As(ctx, "a"), "a")
	require.NoError(t, err)
	require.Equal(t, want, got)
	require.Equal(t, []string{"k"}, holding(t, d, "a"), "logins end")
	require.ErrorIs(t, d.OfferFactor(ctx, "a", "a", "THREE"), db.ErrConflict)
	require.ErrorIs(t, d.RemoveFactor(ctx, "", "b", "login"), db.ErrNotFound)
	require.NoError(t, d.RemoveFactor(ctx, "", "a", "login"))
	require.ErrorIs(t, d.UseRecoveryCode(ctx, "a", "x"), db.ErrNotFound)
	require.NoError(t, d.OfferFactor(ctx, "", "a", "THREE"))
}

func codesOnce(t *testing.T, d *db.DB) {
	addAccount(t, d, "a")
	require.NoError(t, d.OfferFactor(ctx, "a", "a", "ONE"))
	require.NoError(t, d.ConfirmFactor(ctx, "a", db.Factor{Account: "a", Secret: "ONE", SinceMs: 7, Step: 3}, []string{"x", "y"}, "login"))
	require.ErrorIs(t, d.UseStep(ctx, "a", 3), db.ErrStale)
	require.ErrorIs(t, d.UseStep(ctx, "a", 2), db.ErrStale, "one before")
	var steps, codes atomic.Int32
	var wg sync.WaitGroup
	for range 4 {
		wg.Go(func() {
			if d.UseStep(ctx, "a", 4) == nil {
				steps.Add(1)
			}
			if d.UseRecoveryCode(ctx, "a", "x") == nil {
				codes.Add(1)
			}
		})
	}
	wg.Wait()
	require.EqualValues(t, 1, steps.Load())
	require.EqualValues(t, 1, codes.Load())
	require.NoError(t, d.UseRecoveryCode(ctx, "a", "y"))
}
