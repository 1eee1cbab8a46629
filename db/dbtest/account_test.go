package dbtest_test

import (
	"net/url"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"hardtack/db"
	"hardtack/db/dbtest"
)

func account(id string) db.Account {
	return db.Account{ID: id, Name: "name of " + id, Role: "boat", State: db.Active, CreatedMs: 5}
}

func addAccount(t *testing.T, d *db.DB, id string) {
	t.Helper()
	require.NoError(t, d.AddAccount(ctx, account(id), "", 0))
}

func accountComesBack(t *testing.T, d *db.DB) {
	_, err := d.Account(ctx, "a")
	require.ErrorIs(t, err, db.ErrNotFound)
	addAccount(t, d, "a")
	got, err := d.Account(ctx, "a")
	require.NoError(t, err)
	require.Equal(t, account("a"), got)
	got, err = d.AccountNamed(ctx, "name of a")
	require.NoError(t, err)
	require.Equal(t, account("a"), got)
	taken := account("b")
	taken.Name = "name of a"
	require.ErrorIs(t, d.AddAccount(ctx, taken, "", 0), db.ErrConflict)
	all, err := d.Accounts(ctx)
	require.NoError(t, err)
	require.Equal(t, []db.Account{account("a")}, all)
}

// Of many who hold one invitation, one comes in.
func invitationOnce(t *testing.T, d *db.DB) {
	require.NoError(t, d.AddInvitation(ctx, db.Invitation{Sum: "s", Role: "boat", Issuer: "m", CreatedMs: 1, EndsMs: 100}))
	wrong := account("x")
	wrong.Role = "moderator"
	require.ErrorIs(t, d.AddAccount(ctx, wrong, "s", 50), db.ErrNotFound, "not for that")
	require.ErrorIs(t, d.AddAccount(ctx, account("x"), "s", 100), db.ErrNotFound, "too late")
	require.ErrorIs(t, d.AddAccount(ctx, account("x"), "t", 50), db.ErrNotFound)
	var in atomic.Int32
	var wg sync.WaitGroup
	for _, id := range []string{"a", "b", "c", "d"} {
		wg.Go(func() {
			if d.AddAccount(ctx, account(id), "s", 50) == nil {
				in.Add(1)
			}
		})
	}
	wg.Wait()
	require.EqualValues(t, 1, in.Load())
}

func keysOfAccounts(t *testing.T, d *db.DB) {
	addAccount(t, d, "a")
	addAccount(t, d, "b")
	want := db.Key{Prefix: "p", Account: "a", Sum: "s", Scopes: "report", Label: "galley", CreatedMs: 1}
	require.NoError(t, d.AddKey(ctx, want))
	require.ErrorIs(t, d.AddKey(ctx, want), db.ErrConflict)
	got, err := d.Key(ctx, "p")
	require.NoError(t, err)
	require.Equal(t, want, got)
	require.ErrorIs(t, d.RevokeKey(db.As(ctx, "b"), "b", "p"), db.ErrNotFound, "another account's")
	require.ErrorIs(t, d.RevokeKey(db.As(ctx, "b"), "b", "q"), db.ErrNotFound, "the same as nobody's")
	require.NoError(t, d.RevokeKey(db.As(ctx, "a"), "a", "p"))
	require.ErrorIs(t, d.RevokeKey(ctx, "a", "p"), db.ErrNotFound)
	got, err = d.Key(ctx, "p")
	require.NoError(t, err)
	require.Positive(t, got.RevokedMs)
	keys, err := d.Keys(db.As(ctx, "b"), "b")
	require.NoError(t, err)
	require.Empty(t, keys)
}

func reportersClaimed(t *testing.T, d *db.DB) {
	others, err := d.ClaimReporters(ctx, "a", []string{"r1", "r2"})
	require.NoError(t, err)
	require.Empty(t, others)
	others, err = d.ClaimReporters(ctx, "b", []string{"r2", "r3"})
	require.NoError(t, err)
	require.Equal(t, []string{"r2"}, others)
	mine, err := d.Reporters(ctx, "a")
	require.NoError(t, err)
	require.Equal(t, []string{"r1", "r2"}, mine)
}

func accountErased(t *testing.T, d *db.DB) {
	addAccount(t, d, "a")
	require.NoError(t, d.AddKey(ctx, db.Key{Prefix: "p", Account: "a", Sum: "s", Scopes: "report"}))
	_, err := d.ClaimReporters(ctx, "a", []string{"r1"})
	require.NoError(t, err)
	require.NoError(t, d.OfferFactor(ctx, "a", "a", "SECRET"))
	require.NoError(t, d.ConfirmFactor(ctx, "a", db.Factor{Account: "a", Secret: "SECRET", SinceMs: 1}, []string{"s1"}, "login"))
	add(t, d, coffee("x"))
	require.NoError(t, d.EraseAccount(ctx, "a", "a", "someone-1"))
	got, err := d.Report(ctx, "x")
	require.NoError(t, err)
	want := coffee("x")
	want.Reporter, want.Note, want.Shop = "someone-1", "", ""
	require.Equal(t, want, got, "the price stays, whose it was does not")
	_, err = d.Key(ctx, "p")
	require.ErrorIs(t, err, db.ErrNotFound)
	_, err = d.Factor(ctx, "a")
	require.ErrorIs(t, err, db.ErrNotFound)
	require.ErrorIs(t, d.UseRecoveryCode(ctx, "a", "s1"), db.ErrNotFound)
	a, err := d.Account(ctx, "a")
	require.NoError(t, err)
	require.Equal(t, db.Account{ID: "a", Name: "someone-1", Role: "boat", State: db.Erased, CreatedMs: 5}, a)
	require.ErrorIs(t, d.EraseAccount(ctx, "", "nobody", "s"), db.ErrNotFound)
	mine, err := d.Reporters(ctx, "a")
	require.NoError(t, err)
	require.Empty(t, mine)
}

func everythingAudited(t *testing.T, d *db.DB) {
	d.Now = func() time.Time { return time.UnixMilli(77) }
	addAccount(t, d, "a")
	require.NoError(t, d.AddKey(ctx, db.Key{Prefix: "p", Account: "a", Sum: "s"}))
	require.NoError(t, d.RevokeKey(ctx, "a", "p"))
	suspended := account("a")
	suspended.State = db.Suspended
	require.NoError(t, d.SetAccount(ctx, "m", suspended, "suspend"))
	add(t, d, coffee("x"), coffee("z"))
	require.NoError(t, d.Judge(ctx, "m", "x", db.LeaveOut))
	require.ErrorIs(t, d.Judge(ctx, "m", "y", db.Keep), db.ErrNotFound)
	all, err := d.Audit(ctx, 0, 100)
	require.NoError(t, err)
	var said []string
	for _, a := range all {
		require.EqualValues(t, 77, a.AtMs)
		said = append(said, a.Account+" "+a.What+" "+a.Ref)
	}
	require.Equal(t, []string{" add account a", "a add key p", "a revoke key p", "m suspend a", "m judge leave_out x"}, said)
	page, err := d.Audit(ctx, all[2].Seq, 1)
	require.NoError(t, err)
	require.Equal(t, all[3:4], page)
	require.NoError(t, d.Judge(ctx, "m", "z", db.Keep))
	out, err := d.LeftOut(ctx)
	require.NoError(t, err)
	require.Equal(t, map[string]bool{"x": true}, out)
	decided, err := d.Decided(ctx, []string{"x", "y", "z"})
	require.NoError(t, err)
	require.Equal(t, map[string]bool{"x": true, "z": true}, decided)
}

// The second wall: a statement that forgets to ask whose a row is sees only
// the account's own. PostgreSQL lets superusers through any wall, so the test
// works as a role that is none.
func TestWallsBetweenAccounts(t *testing.T) {
	t.Parallel()
	base := dbtest.Postgres(t)
	d := dbtest.Open(t, func(testing.TB) string { return base })
	addAccount(t, d, "a")
	addAccount(t, d, "b")
	for _, k := range []db.Key{{Prefix: "p", Account: "a"}, {Prefix: "q", Account: "b"}} {
		require.NoError(t, d.AddKey(ctx, k))
	}
	u, err := url.Parse(base)
	require.NoError(t, err)
	schema := u.Query().Get("search_path")
	role := "r" + schema
	execute(t, base, "CREATE ROLE "+role, "GRANT USAGE ON SCHEMA "+schema+" TO "+role,
		"GRANT ALL ON ALL TABLES IN SCHEMA "+schema+" TO "+role)
	t.Cleanup(func() { execute(t, base, "DROP OWNED BY "+role, "DROP ROLE "+role) })
	q := u.Query()
	q.Set("role", role)
	u.RawQuery = q.Encode()
	as := dbtest.Reopen(t, u.String())

	for _, tt := range []struct {
		account string
		keys    []string
	}{{"a", []string{"p"}}, {"b", []string{"q"}}, {"c", nil}} {
		var seen []string
		for _, prefix := range []string{"p", "q"} { // asks for any key, whosever it is
			if k, err := as.Key(db.As(ctx, tt.account), prefix); err == nil {
				seen = append(seen, k.Prefix)
			}
		}
		require.Equal(t, tt.keys, seen)
		accounts, err := as.Accounts(db.As(ctx, tt.account))
		require.NoError(t, err)
		for _, a := range accounts {
			require.Equal(t, tt.account, a.ID)
		}
	}
	require.Error(t, as.AddKey(db.As(ctx, "a"), db.Key{Prefix: "z", Account: "b"}), "in another's name")
	require.NoError(t, d.OfferFactor(ctx, "", "b", "SECRET"))
	require.NoError(t, d.ConfirmFactor(ctx, "", db.Factor{Account: "b", Secret: "SECRET", SinceMs: 1}, []string{"s1"}, "login"))
	_, err = as.Factor(db.As(ctx, "a"), "b")
	require.ErrorIs(t, err, db.ErrNotFound)
	require.ErrorIs(t, as.UseRecoveryCode(db.As(ctx, "a"), "b", "s1"), db.ErrNotFound)
	require.NoError(t, as.UseRecoveryCode(db.As(ctx, "b"), "b", "s1"))
	require.ErrorIs(t, as.SetAccount(db.As(ctx, "a"), "a", db.Account{ID: "b", State: db.Suspended}, "x"), db.ErrNotFound)
	all, err := as.Accounts(ctx)
	require.NoError(t, err)
	require.Len(t, all, 2, "the server at its own work")
}
