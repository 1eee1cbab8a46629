package dbtest_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"hardtack/db"
	"hardtack/db/dbtest"
	"hardtack/pricing"
)

// What may be some moments old is read from a replica while it answers, and
// from the primary when it does not.
func TestReadingFromAReplica(t *testing.T) {
	t.Parallel()
	lead := dbtest.NewServer(t, "wal_level=replica")
	_, err := db.Migrate(ctx, lead.URL())
	require.NoError(t, err)
	_, err = db.OpenBeside(ctx, lead.URL(), lead.URL())
	require.ErrorContains(t, err, "follows no other")
	_, err = db.OpenBeside(ctx, dbtest.SQLite(t), lead.URL())
	require.ErrorIs(t, err, db.ErrInvalid)
	alone, err := db.OpenBeside(ctx, lead.URL(), "postgres://hardtack@127.0.0.1:1/postgres")
	require.NoError(t, err, "a replica may be down when a server starts")
	require.Same(t, alone, alone.Far(ctx))
	require.NoError(t, alone.Close())

	replica := dbtest.NewStandby(t, lead, "feeds")
	d, err := db.OpenBeside(ctx, lead.URL(), replica.URL())
	require.NoError(t, err)
	defer func() { require.NoError(t, d.Close()) }()
	far := d.Far(ctx)
	require.NotSame(t, d, far)
	add(t, d, coffee("a"))
	require.Eventually(t, func() bool { return len(all(t, far, db.Filter{})) == 1 }, 20*time.Second, 10*time.Millisecond)

	replica.Tell("SELECT pg_wal_replay_pause()")
	require.Eventually(t, func() bool { return replica.Ask("SELECT pg_get_wal_replay_pause_state()") == "paused" }, 20*time.Second, 10*time.Millisecond)
	add(t, d, coffee("b"))
	require.Len(t, all(t, d, db.Filter{}), 2, "one's own report is there at once")
	require.Len(t, all(t, far, db.Filter{}), 1)
	_, err = far.AddReports(ctx, []pricing.Report{coffee("c")})
	require.Error(t, err, "a replica takes nothing")

	replica.Kill()
	require.Same(t, d, d.Far(ctx), "the primary does without")
	lead.Kill()
	_, err = d.Change(ctx)
	require.True(t, db.Away(err), "%v", err)
}
