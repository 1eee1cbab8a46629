package dbtest_test

import (
	"bytes"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"hardtack/db"
	"hardtack/db/dbtest"
)

func TestRestoreGoesOverWhatItContains(t *testing.T) {
	onBoth(t, func(t *testing.T, e dbtest.Engine) {
		url := dbtest.Migrated(t, e)
		d := dbtest.Reopen(t, url)
		add(t, d, coffee("a"))
		putDoc(t, d, db.KindVessel, "v", `{}`, db.Absent)
		early := backup(t, d)
		add(t, d, coffee("b"))
		late := backup(t, d)

		restore := func(from []byte, how db.Restoring) (db.Restored, error) {
			return db.RestoreTo(ctx, url, bytes.NewReader(from), how)
		}
		_, err := restore(late, db.Restoring{})
		require.ErrorIs(t, err, db.ErrConflict, "not empty, and nobody said over")
		_, err = restore(early, db.Restoring{Over: true})
		require.ErrorIs(t, err, db.ErrConflict)
		require.ErrorContains(t, err, "the database is newer, its change 3")
		require.Equal(t, string(late), string(backup(t, d)), "nothing was changed")

		execute(t, url, `DELETE FROM report`) // lost without a trace in the log
		done, err := restore(late, db.Restoring{Over: true, Dry: true})
		require.NoError(t, err)
		require.EqualValues(t, 4, done.Replaced, "three changes and a document")
		require.Empty(t, all(t, d, db.Filter{}), "a dry run writes nothing")
		_, err = restore(late, db.Restoring{Over: true})
		require.NoError(t, err)
		require.Equal(t, string(late), string(backup(t, d)))
	})
}

// Two boats that began alike are not each other's past.
func TestRestoreKnowsAnotherDatabase(t *testing.T) {
	onBoth(t, func(t *testing.T, e dbtest.Engine) {
		ours, theirs := dbtest.Migrated(t, e), dbtest.Open(t, dbtest.SQLite)
		add(t, dbtest.Reopen(t, ours), coffee("ours"))
		add(t, theirs, coffee("theirs"), coffee("more"))
		_, err := db.RestoreTo(ctx, ours, bytes.NewReader(backup(t, theirs)), db.Restoring{Over: true})
		require.ErrorIs(t, err, db.ErrConflict)
	})
}

func TestADryRunMakesNoFile(t *testing.T) {
	t.Parallel()
	taken := backup(t, filled(t, dbtest.SQLite))
	url := dbtest.SQLite(t)
	done, err := db.RestoreTo(ctx, url, bytes.NewReader(taken), db.Restoring{Dry: true})
	require.NoError(t, err)
	require.True(t, done.Dry)
	require.Zero(t, done.Replaced)
	_, err = os.Stat(url)
	require.ErrorIs(t, err, os.ErrNotExist)
}

func TestARestoreIntoANewerDatabaseIsRefused(t *testing.T) {
	onBoth(t, func(t *testing.T, e dbtest.Engine) {
		taken := backup(t, dbtest.Open(t, dbtest.SQLite))
		url := dbtest.Migrated(t, e)
		execute(t, url, `UPDATE schema_mark SET version = 99`)
		_, err := db.RestoreTo(ctx, url, bytes.NewReader(taken), db.Restoring{Over: true})
		require.ErrorIs(t, err, db.ErrSchema)
	})
}

func TestABackupOfANewerProgramIsRefused(t *testing.T) {
	t.Parallel()
	for name, line := range map[string]string{
		"schema": `{"hardtack_backup":1,"schema":99}`, "format": `{"hardtack_backup":2,"schema":1}`,
	} {
		_, err := db.CheckBackup(strings.NewReader(signed(line)))
		require.ErrorIs(t, err, db.ErrSchema, name)
		require.ErrorContains(t, err, "newer program", name)
	}
	_, err := db.CheckBackup(strings.NewReader(signed(`{"schema":1}`)))
	require.ErrorIs(t, err, db.ErrDamaged)
}

// Indexes are dropped while an SQLite file is filled: it ends with all it had.
func TestARestoreLeavesTheSchemaAsItWas(t *testing.T) {
	t.Parallel()
	schema := func(url string) string {
		rows, err := raw(t, url).Query(`SELECT type, name, COALESCE(sql, '') FROM sqlite_master ORDER BY type, name`)
		require.NoError(t, err)
		defer rows.Close()
		var out strings.Builder
		for rows.Next() {
			var kind, name, text string
			require.NoError(t, rows.Scan(&kind, &name, &text))
			out.WriteString(kind + " " + name + " " + text + "\n")
		}
		require.NoError(t, rows.Err())
		return out.String()
	}
	taken := backup(t, filled(t, dbtest.SQLite))
	fresh, url := dbtest.Migrated(t, dbtest.SQLite), dbtest.SQLite(t)
	want := schema(fresh)
	require.Contains(t, want, "index report_item CREATE INDEX")
	_, err := db.RestoreTo(ctx, url, bytes.NewReader(taken), db.Restoring{})
	require.NoError(t, err)
	require.Equal(t, want, schema(url))
	for _, f := range db.Examine(ctx, url, noon) {
		require.NotEqual(t, db.Wrong, f.Grade, "%+v", f)
	}
}
