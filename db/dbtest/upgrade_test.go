package dbtest_test

import (
	"bufio"
	"bytes"
	"database/sql"
	"encoding/json"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"hardtack/db"
	"hardtack/db/dbtest"
)

// kept is the folder of the schemas of releases: for each the statements that
// made it, in both trees, and a backup as that release wrote it.
var kept = filepath.Join("..", "..", "testdata", "schemas")

func keptSchemas(t *testing.T) []uint {
	t.Helper()
	folders, err := os.ReadDir(kept)
	require.NoError(t, err)
	var out []uint
	for _, f := range folders {
		if n, err := strconv.Atoi(f.Name()); err == nil {
			out = append(out, uint(n))
		}
	}
	require.NotEmpty(t, out)
	return out
}

func keptFile(schema uint, name string) string {
	return filepath.Join(kept, fmt.Sprintf("%04d", schema), name)
}

// ups is the text of all migrations up to a schema.
func ups(t *testing.T, tree string, schema uint) string {
	t.Helper()
	var b strings.Builder
	for n := uint(1); n <= schema; n++ {
		b.WriteString(up(t, tree, n))
	}
	return b.String()
}

func up(t *testing.T, tree string, n uint) string {
	t.Helper()
	files, err := filepath.Glob(filepath.Join("..", "migrations", tree, fmt.Sprintf("%04d_*.up.sql", n)))
	require.NoError(t, err)
	require.Len(t, files, 1)
	text, err := os.ReadFile(files[0])
	require.NoError(t, err)
	return string(text)
}

// A released migration is never edited: people's databases were made by it.
// KEEP_SCHEMA=1 keeps the newest schema, before a release.
func TestReleasedMigrationsStayAsTheyWere(t *testing.T) {
	t.Parallel()
	if os.Getenv("KEEP_SCHEMA") != "" {
		require.NoError(t, os.MkdirAll(filepath.Dir(keptFile(db.Newest, "x")), 0o755))
		for tree := range engines {
			require.NoError(t, os.WriteFile(keptFile(db.Newest, tree+".sql"), []byte(ups(t, tree, db.Newest)), 0o644))
		}
		require.NoError(t, os.WriteFile(keptFile(db.Newest, "season.backup"), backup(t, filled(t, dbtest.SQLite)), 0o644))
	}
	schemas := keptSchemas(t)
	for _, n := range schemas {
		for tree := range engines {
			then, err := os.ReadFile(keptFile(n, tree+".sql"))
			require.NoError(t, err)
			require.Equal(t, string(then), ups(t, tree, n), "schema %d was released: add a migration instead", n)
		}
	}
	if os.Getenv("RELEASE") != "" {
		require.Contains(t, schemas, db.Newest, "keep the schema first: KEEP_SCHEMA=1 go test -run TestReleasedMigrations ./db/dbtest")
	}
}

// old is a database as a release left it, with a season in it.
func old(t *testing.T, e dbtest.Engine, schema uint) string {
	t.Helper()
	url := e(t)
	if schema == 0 {
		return url
	}
	_, err := db.MigrateTo(ctx, url, schema)
	require.NoError(t, err)
	f, err := os.Open(keptFile(schema, "season.backup"))
	require.NoError(t, err)
	defer f.Close()
	d := raw(t, url)
	tx, err := d.Begin()
	require.NoError(t, err)
	defer tx.Rollback()
	var insert, table string
	parted := schema >= 6 && strings.HasPrefix(url, "postgres") // reports lie by months, their ids apart
	for lines := bufio.NewScanner(f); lines.Scan(); {
		var head struct {
			Table   string
			Columns []string
		}
		if json.Unmarshal(lines.Bytes(), &head) == nil && head.Table != "" {
			insert, table = insertInto(head.Table, head.Columns), head.Table
		}
		if lines.Bytes()[0] != '[' {
			continue
		}
		values := json.NewDecoder(bytes.NewReader(lines.Bytes()))
		values.UseNumber()
		var row []any
		require.NoError(t, values.Decode(&row))
		for i, v := range row {
			if n, ok := v.(json.Number); ok {
				row[i] = exact(n)
			}
		}
		if received := row[len(row)-1]; parted && table == "report" {
			_, err := tx.Exec(`SELECT report_month($1)`, received)
			require.NoError(t, err)
			_, err = tx.Exec(`INSERT INTO report_key (id, port, received_ms) VALUES ($1, $2, $3)`, row[0], row[1], received)
			require.NoError(t, err)
		}
		_, err := tx.Exec(insert, row...)
		require.NoError(t, err, insert)
	}
	require.NoError(t, tx.Commit())
	return url
}

func exact(n json.Number) any {
	if i, err := n.Int64(); err == nil {
		return i
	}
	f, err := n.Float64()
	if err != nil {
		panic(err)
	}
	return f
}

func insertInto(table string, columns []string) string {
	places := make([]string, len(columns))
	for i := range columns {
		places[i] = fmt.Sprintf("$%d", i+1)
	}
	return fmt.Sprintf("INSERT INTO %s (%s) VALUES (%s)", table, strings.Join(columns, ", "), strings.Join(places, ", "))
}

// What a release kept is there after the upgrade, whichever way it came: the
// database itself upgraded, or its backup restored by this program.
func TestEveryReleasedSchemaUpgrades(t *testing.T) {
	onBoth(t, func(t *testing.T, e dbtest.Engine) {
		for _, schema := range keptSchemas(t) {
			url := old(t, e, schema)
			_, err := db.Migrate(ctx, url)
			require.NoError(t, err)
			upgraded := dbtest.Reopen(t, url)
			require.Len(t, all(t, upgraded, db.Filter{}), 4_322, "schema %d", schema)
			doc, err := upgraded.Get(ctx, db.KindVessel, "v")
			require.NoError(t, err)
			require.JSONEq(t, `{"a": [1, 2.50]}`, string(doc.Body))

			f, err := os.Open(keptFile(schema, "season.backup"))
			require.NoError(t, err)
			into := e(t)
			done, err := db.RestoreTo(ctx, into, f, db.Restoring{})
			require.NoError(t, err, "schema %d", schema)
			require.NoError(t, f.Close())
			require.Equal(t, schema < db.Newest, done.Upgraded)
			require.Equal(t, string(backup(t, upgraded)), string(backup(t, dbtest.Reopen(t, into))), "schema %d", schema)
		}
	})
}

// dieAfter makes a copy of this test program do a migration's first statements
// and be killed, the migration unfinished: "N text" of the statements.
const dieAfter = "HARDTACK_TEST_DIE_AFTER"

func dieMigrating(url, script string) {
	d, err := openRaw(url)
	var c *sql.Conn
	if err == nil {
		c, err = d.Conn(ctx)
	}
	for _, s := range strings.Split(script, "\x01") {
		if err == nil {
			_, err = c.ExecContext(ctx, s)
		}
	}
	if err != nil {
		fmt.Println("fault", err)
		os.Exit(1)
	}
	die()
}

// An upgrade killed after any of its statements is as if it had not begun, and
// the next one goes through.
func TestAnUpgradeKilledAnywhere(t *testing.T) {
	onBoth(t, func(t *testing.T, e dbtest.Engine) {
		tree := strings.TrimPrefix(filepath.Base(t.Name()), "/")
		deaths := 0
		for from := range db.Newest {
			if from > 0 && !slices.Contains(keptSchemas(t), from) {
				continue
			}
			whole := old(t, e, from)
			_, err := db.Migrate(ctx, whole)
			require.NoError(t, err)
			want := string(backup(t, dbtest.Reopen(t, whole)))
			statements := split(up(t, tree, from+1))
			url := old(t, e, from)
			for n := range len(statements) + 1 {
				if n%dbtest.Rounds(t, 4, 1) != 0 && n != len(statements) {
					continue
				}
				killedIn(t, url, append([]string{"BEGIN"}, statements[:n]...))
				have, err := db.SchemaOf(ctx, url)
				require.NoError(t, err)
				require.Equal(t, from, have, "killed after %d statements", n)
				deaths++
			}
			_, err = db.Migrate(ctx, url)
			require.NoError(t, err)
			require.Equal(t, want, string(backup(t, dbtest.Reopen(t, url))))
		}
		dbtest.Figure(t, "D6", tree+": upgrade killed after each statement", "%d kills, the next upgrade whole each time", deaths)
	})
}

// split parts statements; what stands between $$ is part of one.
func split(text string) []string {
	var out []string
	whole := ""
	for _, s := range strings.SplitAfter(text, ";\n") {
		if whole += s; strings.Count(whole, "$$")%2 == 0 && strings.TrimSpace(whole) != "" {
			out = append(out, whole)
			whole = ""
		}
	}
	return out
}

func killedIn(t *testing.T, url string, statements []string) {
	t.Helper()
	self, err := os.Executable()
	require.NoError(t, err)
	cmd := exec.Command(self)
	cmd.Env = append(os.Environ(), dieAfter+"="+strings.Join(statements, "\x01"), victimOf+"="+url)
	out, err := cmd.Output()
	require.Error(t, err, "killed")
	require.Empty(t, string(out))
}

// A program that is older than the database leaves every byte of it alone,
// what a killed one left in the log beside it too.
func TestAnOlderProgramLeavesEveryByte(t *testing.T) {
	t.Parallel()
	url := dbtest.Migrated(t, dbtest.SQLite)
	killedIn(t, url, []string{`UPDATE schema_mark SET version = 99`})
	files := func() map[string]string {
		out := map[string]string{}
		names, err := filepath.Glob(url + "*")
		require.NoError(t, err)
		for _, n := range names {
			if strings.HasSuffix(n, "-shm") {
				continue // memory shared among readers, made anew by each
			}
			b, err := os.ReadFile(n)
			require.NoError(t, err)
			out[n] = string(b)
		}
		return out
	}
	before := files()
	require.Contains(t, before, url+"-wal", "the newer schema stands only in the log")
	_, err := db.Open(ctx, url)
	require.ErrorIs(t, err, db.ErrSchema)
	_, err = db.MigrateTo(ctx, url, 1)
	require.ErrorIs(t, err, db.ErrSchema)
	require.Equal(t, db.Wrong, graded(t, db.Examine(ctx, url, noon), "schema"))
	require.Equal(t, before, files())
}

// A transaction half done without a log, as when a file is made, leaves a
// journal: it is undone, and the file opens.
func TestAHalfDoneTransactionIsUndone(t *testing.T) {
	t.Parallel()
	url := dbtest.Migrated(t, dbtest.SQLite)
	execute(t, url, `PRAGMA journal_mode = DELETE`)
	killedIn(t, url, []string{
		`PRAGMA cache_size = 1`, `BEGIN IMMEDIATE`, `UPDATE schema_mark SET version = 99`,
		`WITH RECURSIVE n (i) AS (SELECT 1 UNION ALL SELECT i + 1 FROM n WHERE i < 2000) INSERT INTO meta SELECT 'n' || i, 'half done' FROM n`,
	})
	_, err := os.Stat(url + "-journal")
	require.NoError(t, err, "something is half done")
	require.Equal(t, db.Well, graded(t, db.Examine(ctx, url, noon), "schema"))
	d := dbtest.Reopen(t, url)
	require.Zero(t, change(t, d))
}
