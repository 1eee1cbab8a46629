package db

import (
	"context"
	"errors"
	"path/filepath"
	"testing"

	"github.com/jackc/pgx/v5/pgconn"
	"github.com/stretchr/testify/require"
)

// What a client was told is kept must be on the disk: every connection that
// may write commits with synchronous=FULL (2) in WAL.
func TestSQLiteCommitsReachTheDisk(t *testing.T) {
	t.Parallel()
	ctx := context.Background()
	d, err := Open(ctx, filepath.Join(t.TempDir(), "a.db"))
	require.NoError(t, err)
	defer func() { require.NoError(t, d.Close()) }()
	for pragma, want := range map[string]string{
		"journal_mode": "wal", "synchronous": "2", "foreign_keys": "1", "query_only": "0", "busy_timeout": "10000",
	} {
		var got string
		require.NoError(t, d.writer.QueryRowContext(ctx, "PRAGMA "+pragma).Scan(&got))
		require.Equal(t, want, got, pragma)
	}
	require.Equal(t, 1, d.writer.Stats().MaxOpenConnections)
	_, err = d.reader.ExecContext(ctx, `DELETE FROM report`)
	require.Error(t, err, "readers only read")
}

func TestPostgresCodes(t *testing.T) {
	t.Parallel()
	for code, retry := range map[string]bool{"40001": true, "40P01": true, "23505": false, "53100": false} {
		err := errors.Join(errors.New("write"), &pgconn.PgError{Code: code})
		require.Equal(t, retry, postgres.retry(err), code)
		require.Equal(t, code == "53100", postgres.full(err), code)
	}
	require.False(t, postgres.retry(nil))
}

// The disk is full for SQLite when its page limit is reached: nothing is
// half-written, the kind is ErrFull, and with room again writes go on.
func TestAFullDisk(t *testing.T) {
	t.Parallel()
	ctx := context.Background()
	d, err := Open(ctx, filepath.Join(t.TempDir(), "a.db"))
	require.NoError(t, err)
	defer func() { require.NoError(t, d.Close()) }()
	body := make([]byte, 100_000)
	for i := range body {
		body[i] = '1'
	}
	_, err = d.writer.ExecContext(ctx, `PRAGMA max_page_count = 90`)
	require.NoError(t, err)
	_, err = d.Put(ctx, KindVessel, "v", body[:10_000], Absent)
	require.NoError(t, err)
	_, err = d.Put(ctx, KindVessel, "v", body, AnyRevision)
	_, err2 := d.Put(ctx, KindVessel, "w", body, AnyRevision)
	require.ErrorIs(t, errors.Join(err, err2), ErrFull)
	got, err := d.Get(ctx, KindVessel, "v")
	require.NoError(t, err)
	require.NotEmpty(t, got.Body)
	_, err = d.writer.ExecContext(ctx, `PRAGMA max_page_count = 5000`)
	require.NoError(t, err)
	_, err = d.Put(ctx, KindVessel, "w", body, AnyRevision)
	require.NoError(t, err)
}
