// Package dbtest gives tests a fresh, empty database of either kind, and runs
// one contract on both.
package dbtest

import (
	"context"
	"database/sql"
	"errors"
	"net/url"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"sync"
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
	onServer(t, "CREATE SCHEMA "+schema)
	t.Cleanup(func() { onServer(t, "DROP SCHEMA "+schema+" CASCADE") })
	q := u.Query()
	q.Set("search_path", schema)
	u.RawQuery = q.Encode()
	return u.String()
}

// server is one small pool for all tests: a connection costs more than most of
// what they do.
var server = sync.OnceValues(func() (*sql.DB, error) {
	d, err := sql.Open("pgx", os.Getenv("TEST_POSTGRES_URL"))
	if err == nil {
		d.SetMaxOpenConns(4)
	}
	return d, err
})

func openPlain(url string) (*sql.DB, error) { return sql.Open("pgx", url) }

// Do has a server do a statement.
func Do(url, statement string) error {
	d, err := openPlain(url)
	if err != nil {
		return err
	}
	_, err = d.Exec(statement)
	return errors.Join(err, d.Close())
}

// CloseServer closes what tests on PostgreSQL share; call it when all are over.
func CloseServer() error {
	if os.Getenv("TEST_POSTGRES_URL") == "" {
		return nil
	}
	d, err := server()
	if err != nil {
		return err
	}
	return d.Close()
}

func onServer(t testing.TB, statement string) {
	t.Helper()
	d, err := server()
	require.NoError(t, err)
	_, err = d.Exec(statement)
	require.NoError(t, err)
}

// Open gives an empty database of the newest schema, closed after the test.
func Open(t testing.TB, e Engine) *db.DB {
	t.Helper()
	u := e(t)
	if strings.HasPrefix(u, "postgres") {
		layOut(t, u)
	}
	return Reopen(t, u)
}

// layOut makes the newest schema in one go; that migrating makes the same is
// for the tests of migrating.
func layOut(t testing.TB, u string) {
	t.Helper()
	parsed, err := url.Parse(u)
	require.NoError(t, err)
	_, here, _, _ := runtime.Caller(0)
	files, err := filepath.Glob(filepath.Join(filepath.Dir(here), "..", "migrations", "postgres", "*.up.sql"))
	require.NoError(t, err)
	require.Len(t, files, int(db.Newest))
	text := "SET LOCAL search_path TO " + parsed.Query().Get("search_path") + ";\n"
	for _, f := range files {
		up, err := os.ReadFile(f)
		require.NoError(t, err)
		text += string(up)
	}
	onServer(t, text) // one message, one transaction
}

// Migrated is the URL of an empty database migrated to the newest schema.
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
