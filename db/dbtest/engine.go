// Package dbtest gives tests a fresh, empty database of either kind, and runs
// one contract on both.
package dbtest

import (
	"context"
	"database/sql"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/google/uuid"
	_ "github.com/jackc/pgx/v5/stdlib" // the driver "pgx"
	"github.com/stretchr/testify/require"

	"hardtack/db"
)

// Engine gives the URL of a database that nobody else uses and that has no
// tables yet. It is gone after the test.
type Engine func(t testing.TB) string

// SQLite is a file in the test's own folder.
func SQLite(t testing.TB) string { return filepath.Join(t.TempDir(), "hardtack.db") }

// Postgres is a schema of its own on the server TEST_POSTGRES_URL names. A
// missing server is a failure: not run must not look green.
func Postgres(t testing.TB) string {
	base := os.Getenv("TEST_POSTGRES_URL")
	require.NotEmpty(t, base, "TEST_POSTGRES_URL is not set: run the tests by `.ci/postgres go test ./db/...` or `make test`")
	u, err := url.Parse(base)
	require.NoError(t, err)
	schema := "t_" + strings.ReplaceAll(uuid.NewString(), "-", "")
	admin, err := sql.Open("pgx", base)
	require.NoError(t, err)
	_, err = admin.Exec("CREATE SCHEMA " + schema)
	require.NoError(t, err)
	t.Cleanup(func() {
		_, err := admin.Exec("DROP SCHEMA " + schema + " CASCADE")
		require.NoError(t, err)
		require.NoError(t, admin.Close())
	})
	q := u.Query()
	q.Set("search_path", schema)
	u.RawQuery = q.Encode()
	return u.String()
}

// Open gives a migrated, empty database, closed after the test.
func Open(t testing.TB, e Engine) *db.DB {
	t.Helper()
	return Reopen(t, Migrated(t, e))
}

// Migrated is the URL of an empty database of the newest schema.
func Migrated(t testing.TB, e Engine) string {
	t.Helper()
	u := e(t)
	_, err := db.Migrate(context.Background(), u)
	require.NoError(t, err)
	return u
}

// Reopen opens a database, closed after the test.
func Reopen(t testing.TB, url string) *db.DB {
	t.Helper()
	d, err := db.Open(context.Background(), url)
	require.NoError(t, err)
	t.Cleanup(func() { require.NoError(t, d.Close()) })
	return d
}
