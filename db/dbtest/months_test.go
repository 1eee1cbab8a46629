package dbtest_test

import (
	"context"
	"net/url"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"hardtack/db"
	"hardtack/db/dbtest"
	"hardtack/pricing"
)

func texts(t *testing.T, at, query string) []string {
	t.Helper()
	rows, err := raw(t, at).Query(query)
	require.NoError(t, err)
	defer rows.Close()
	var out []string
	for rows.Next() {
		var s string
		require.NoError(t, rows.Scan(&s))
		out = append(out, s)
	}
	require.NoError(t, rows.Err())
	return out
}

func received(t *testing.T, d *db.DB, moment string) {
	t.Helper()
	at, err := time.Parse(time.RFC3339Nano, moment)
	require.NoError(t, err)
	d.Now = func() time.Time { return at }
}

// On PostgreSQL reports lie in a table of the month they came in, by UTC, and
// no id is there twice all the same.
func TestReportsLieByMonth(t *testing.T) {
	t.Parallel()
	at := dbtest.Postgres(t)
	d := dbtest.Open(t, func(testing.TB) string { return at })
	for id, moment := range map[string]string{
		"a": "2026-01-31T23:59:59.999Z", "b": "2026-02-01T00:00:00Z", "c": "2026-02-28T13:00:00Z", "old": "1969-12-31T23:59:59.999Z", "far": "2038-05-05T00:00:00Z",
	} {
		received(t, d, moment)
		add(t, d, coffee(id))
	}
	require.Equal(t, []string{"report_1969_12 old", "report_2026_01 a", "report_2026_02 b", "report_2026_02 c", "report_2038_05 far"},
		texts(t, at, `SELECT tableoid::regclass || ' ' || id FROM report ORDER BY received_ms, id`))

	received(t, d, "2026-03-01T00:00:00Z")
	require.Equal(t, db.Added{Same: 2}, add(t, d, coffee("a"), coffee("b")))
	other := coffee("a")
	other.Port, other.Note = "ESLPA", "of another port and month"
	_, err := d.AddReports(ctx, []pricing.Report{other})
	require.ErrorIs(t, err, db.ErrConflict)
	_, err = raw(t, at).Exec(`INSERT INTO report_key (id, port, received_ms) VALUES ('a', 'ESLPA', 0)`)
	require.ErrorContains(t, err, "duplicate key", "the database sees to it too")

	february := time.Date(2026, 2, 1, 0, 0, 0, 0, time.UTC).UnixMilli()
	plan := strings.Join(texts(t, at, `EXPLAIN SELECT * FROM report WHERE received_ms >= 1769904000000 AND received_ms < 1772323200000`), "\n")
	require.EqualValues(t, 1_769_904_000_000, february)
	require.Contains(t, plan, "report_2026_02")
	require.NotContains(t, plan, "report_2026_01", "other months are not looked at")
	plan = strings.Join(texts(t, at, `EXPLAIN (ANALYZE, COSTS OFF) SELECT report.* FROM report_key JOIN report
		ON report.id = report_key.id AND report.port = report_key.port AND report.received_ms = report_key.received_ms WHERE report_key.id = 'a'`), "\n")
	require.Contains(t, plan, "never executed", "by id only its own month is")
}

// limited is a role that may do what the program does and no more, and the URL
// to work as it.
func limited(t *testing.T, at string) (asRole string) {
	t.Helper()
	u, err := url.Parse(at)
	require.NoError(t, err)
	role := `boat"s-` + u.Query().Get("search_path")
	quoted := `"` + strings.ReplaceAll(role, `"`, `""`) + `"`
	execute(t, at, "CREATE ROLE "+quoted)
	t.Cleanup(func() { execute(t, at, "DROP OWNED BY "+quoted, "DROP ROLE "+quoted) })
	require.NoError(t, db.Grant(ctx, at, role))
	q := u.Query()
	q.Set("role", role)
	u.RawQuery = q.Encode()
	return u.String()
}

// The program needs no rights but to rows: not even for a month's first report.
func TestFewRightsAreEnough(t *testing.T) {
	t.Parallel()
	at := dbtest.Migrated(t, dbtest.Postgres)
	as := limited(t, at)
	d := dbtest.Reopen(t, as)
	received(t, d, "2026-04-05T00:00:00Z")
	fill(t, d)
	received(t, d, "2026-05-05T00:00:00Z")
	add(t, d, coffee("may"))
	addAccount(t, d, "a")
	require.NoError(t, d.AddKey(db.As(ctx, "a"), db.Key{Prefix: "p", Account: "a"}))
	_, err := d.ClaimReporters(ctx, "a", []string{"r1"})
	require.NoError(t, err)
	require.NoError(t, d.Number(ctx, "here"))
	ran, err := d.Alone(ctx, "publish", func(c context.Context) error {
		_, _, err := d.Publish(c, []db.Publication{{Report: "may", Day: day("2026-05-01")}}, nil, func(int64) string { return "told" })
		return err
	})
	require.NoError(t, err)
	require.True(t, ran)
	require.NoError(t, d.EraseAccount(ctx, "a", "a", "someone"))
	require.NotEmpty(t, backup(t, d))

	walled, err := d.Walled(ctx)
	require.NoError(t, err)
	require.True(t, walled)
	require.Equal(t, db.Well, graded(t, db.Examine(ctx, as, noon), "walls"))
	require.Equal(t, db.Note, graded(t, db.Examine(ctx, at, noon), "walls"), "a superuser passes")
	for _, forbidden := range []string{
		`UPDATE schema_mark SET version = 1`, `DROP TABLE report`, `ALTER TABLE account DISABLE ROW LEVEL SECURITY`, `CREATE TABLE song (title TEXT)`,
		`DROP POLICY own_rows ON account`, `TRUNCATE change`,
	} {
		_, err := raw(t, as).Exec(forbidden)
		require.ErrorContains(t, err, "SQLSTATE 42501", forbidden)
	}
	_, err = db.Migrate(ctx, as)
	require.NoError(t, err, "nothing is to be done")
	require.ErrorIs(t, db.Grant(ctx, dbtest.SQLite(t), "r"), db.ErrInvalid)
	require.Error(t, db.Grant(ctx, at, "nobody of this name"))
}
