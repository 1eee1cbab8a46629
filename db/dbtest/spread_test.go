package dbtest_test

import (
	"bytes"
	"fmt"
	"net/url"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/google/uuid"
	"github.com/stretchr/testify/require"

	"hardtack/db"
	"hardtack/db/dbtest"
	"hardtack/pricing"
)

// spread is how SPREAD.md says tables lie on several machines: by the column
// named, or empty where each machine, or one, has all of it.
func spread(t *testing.T) map[string]string {
	t.Helper()
	text, err := os.ReadFile(filepath.Join("..", "SPREAD.md"))
	require.NoError(t, err)
	out := map[string]string{}
	for _, row := range regexp.MustCompile(`(?m)^\| ([a-z_]+) \| (by ([a-z_]+)|in one place|everywhere) \|`).FindAllStringSubmatch(string(text), -1) {
		out[row[1]] = row[3]
	}
	return out
}

// A table that lies by a column has it in every unique index; no machine sees
// another one's rows.
func TestSchemaCanBeSpread(t *testing.T) {
	t.Parallel()
	at := dbtest.Migrated(t, dbtest.Postgres)
	lies := spread(t)
	tables := texts(t, at, `SELECT relname FROM pg_class
		WHERE relnamespace = current_schema()::regnamespace AND relkind IN ('r', 'p') AND NOT relispartition AND relname <> 'schema_migrations'`)
	named := make([]string, 0, len(lies))
	for name := range lies {
		named = append(named, name)
	}
	require.ElementsMatch(t, tables, named, "SPREAD.md tells how each table lies")
	by := 0
	for name, column := range lies {
		if column == "" {
			continue
		}
		by++
		for _, index := range texts(t, at, fmt.Sprintf(`
			SELECT indexdef FROM pg_indexes WHERE schemaname = current_schema() AND tablename = '%s' AND indexdef LIKE 'CREATE UNIQUE%%'`, name)) {
			require.Regexp(t, `\((.*, )?`+column+`(, .*)?\)`, index)
		}
	}
	require.Equal(t, 4, by)
}

// otherDatabase is one more database of the test's server, gone after the test.
func otherDatabase(t *testing.T) (name, at string) {
	t.Helper()
	u, err := url.Parse(os.Getenv("TEST_POSTGRES_URL"))
	require.NoError(t, err)
	base := u.String()
	name = "d_" + strings.ReplaceAll(uuid.NewString(), "-", "")
	execute(t, base, "CREATE DATABASE "+name)
	t.Cleanup(func() { execute(t, base, "DROP DATABASE "+name+" WITH (FORCE)") })
	u.Path = "/" + name
	_, err = db.Migrate(ctx, u.String())
	require.NoError(t, err)
	return name, u.String()
}

// The program as it is, on reports that lie in two other databases by port: the
// same content gives the same backup.
func TestReportsSpreadOverTwoServers(t *testing.T) {
	t.Parallel()
	_, at := otherDatabase(t)
	parts := []string{}
	statements := []string{"CREATE EXTENSION postgres_fdw", "CREATE EXTENSION dblink", "ALTER TABLE report RENAME TO report_here",
		"CREATE TABLE report (LIKE report_here) PARTITION BY HASH (port)"}
	u, err := url.Parse(at)
	require.NoError(t, err)
	var makeMonths strings.Builder
	for i := range 2 {
		name, part := otherDatabase(t)
		parts = append(parts, part)
		statements = append(statements,
			fmt.Sprintf("CREATE SERVER machine%d FOREIGN DATA WRAPPER postgres_fdw OPTIONS (host '%s', port '%s', dbname '%s')", i, u.Hostname(), u.Port(), name),
			fmt.Sprintf("CREATE USER MAPPING FOR CURRENT_USER SERVER machine%d OPTIONS (user '%s')", i, u.User.Username()),
			fmt.Sprintf("CREATE FOREIGN TABLE report_%d PARTITION OF report FOR VALUES WITH (MODULUS 2, REMAINDER %d) SERVER machine%d OPTIONS (table_name 'report')", i, i, i))
		fmt.Fprintf(&makeMonths, "PERFORM * FROM dblink('machine%d', format('SELECT report_month(%%s)::TEXT', at_ms)) AS made (t TEXT); ", i)
	}
	execute(t, at, append(statements,
		"CREATE OR REPLACE FUNCTION report_month(at_ms BIGINT) RETURNS VOID LANGUAGE plpgsql SET search_path TO public AS $$ BEGIN "+makeMonths.String()+"END $$")...)

	whole, far := dbtest.Open(t, dbtest.SQLite), dbtest.Reopen(t, at)
	for _, d := range []*db.DB{whole, far} {
		received(t, d, "2026-04-05T00:00:00Z")
		fill(t, d)
		received(t, d, "2026-05-05T00:00:00Z")
		elsewhere := coffee("may")
		elsewhere.Port = "ESLPA"
		add(t, d, elsewhere)
		require.Equal(t, db.Added{Same: 1}, add(t, d, elsewhere))
		elsewhere.Port = "GBFAL"
		_, err := d.AddReports(ctx, []pricing.Report{elsewhere})
		require.ErrorIs(t, err, db.ErrConflict, "an id is there once, wherever it lies")
		require.NoError(t, d.Number(ctx, "here"))
		addAccount(t, d, "a")
		_, err = d.ClaimReporters(ctx, "a", []string{"r1"})
		require.NoError(t, err)
		_, _, err = d.Publish(ctx, []db.Publication{{Report: "may", Day: day("2026-05-01")}}, nil, func(int64) string { return "told" })
		require.NoError(t, err)
		require.NoError(t, d.EraseAccount(ctx, "a", "a", "someone"))
	}
	require.True(t, bytes.Equal(backup(t, whole), backup(t, far)), "the same, byte for byte")
	for _, f := range []db.Filter{{Port: "ESLPA"}, {Item: "coffee-ground"}, {Reporter: "someone"}, {Published: true}, {Standing: true}, {Account: "a"}} {
		require.Equal(t, all(t, whole, f), all(t, far, f), f)
		page, more, err := whole.Page(ctx, f, db.Cursor{}, 20)
		require.NoError(t, err)
		same, moreToo, err := far.Page(ctx, f, db.Cursor{}, 20)
		require.NoError(t, err)
		require.Equal(t, page, same)
		require.Equal(t, more, moreToo)
	}
	first, err := whole.Records(ctx, db.Feed{}, db.Mark{}, 1000)
	require.NoError(t, err)
	same, err := far.Records(ctx, db.Feed{}, db.Mark{}, 1000)
	require.NoError(t, err)
	require.Equal(t, first, same)
	for _, part := range parts {
		n := texts(t, part, `SELECT COUNT(*)::TEXT FROM report`)
		require.NotEqual(t, []string{"0"}, n, "each machine has some")
		require.Subset(t, texts(t, part, `SELECT DISTINCT tableoid::regclass::TEXT FROM report`), []string{"report_2026_04"})
	}
	require.Empty(t, slices.DeleteFunc(texts(t, at, `SELECT COUNT(*)::TEXT FROM report_here`), func(n string) bool { return n == "0" }))
}
