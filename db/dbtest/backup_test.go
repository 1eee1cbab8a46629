package dbtest_test

import (
	"bytes"
	"context"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"hardtack/db"
	"hardtack/db/dbtest"
)

// filled has some of everything.
func filled(t *testing.T, e dbtest.Engine) *db.DB {
	t.Helper()
	d := dbtest.Open(t, e)
	d.Now = func() time.Time { return time.UnixMilli(1_780_000_000_123) }
	fill(t, d)
	return d
}

// fill puts in some of everything.
func fill(t *testing.T, d *db.DB) {
	t.Helper()
	add(t, d, season(4_321)...)
	add(t, d, coffee("<&é帆>"))
	putDoc(t, d, db.KindVessel, "v", `{"a": [1, 2.50]}`, db.Absent)
	putDoc(t, d, db.KindPlan, "p", `{}`, db.Absent)
	require.NoError(t, d.Delete(ctx, db.KindPlan, "p", db.AnyRevision))
	_, err := d.Book(ctx, "v", booking(120), db.Absent)
	require.NoError(t, err)
	_, err = d.SetLockers(ctx, "v", lockers(), db.Absent)
	require.NoError(t, err)
	require.NoError(t, d.AddLog(ctx, "v", logged("e1"), logged("e2")))
	require.NoError(t, d.PutRates(ctx, []db.Rate{
		{Currency: "EUR", Day: day("2026-01-01"), PerReference: 1},
		{Currency: "GBP", Day: day("2026-01-01"), PerReference: 0.1 + 0.2, Source: "invented"},
	}))
}

func backup(t *testing.T, d *db.DB) []byte {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, d.Backup(ctx, &b))
	return b.Bytes()
}

// The same content gives the same backup, byte for byte, whichever database
// it was restored to: the backup's own checksum is the logical hash.
func TestABackupRestoresToEitherDatabase(t *testing.T) {
	t.Parallel()
	for from, source := range engines {
		for to, target := range engines {
			t.Run(from+" to "+to, func(t *testing.T) {
				t.Parallel()
				before := backup(t, filled(t, source))
				d := dbtest.Open(t, target)
				require.NoError(t, d.Restore(ctx, bytes.NewReader(before)))
				require.Equal(t, string(before), string(backup(t, d)))
				require.ErrorIs(t, d.Restore(ctx, bytes.NewReader(before)), db.ErrConflict, "not empty any more")
				add(t, d, coffee("new"))
			})
		}
	}
}

func TestBackupsOfTwoDatabasesAreTheSameText(t *testing.T) {
	t.Parallel()
	require.Equal(t, string(backup(t, filled(t, dbtest.SQLite))), string(backup(t, filled(t, dbtest.Postgres))))
}

func TestABackupUnderLoadIsOneMoment(t *testing.T) {
	onBoth(t, func(t *testing.T, e dbtest.Engine) {
		d := dbtest.Open(t, e)
		stop := make(chan struct{})
		var wg sync.WaitGroup
		wg.Go(func() {
			for i := 0; ; i++ {
				select {
				case <-stop:
					return
				default:
				}
				_, err := d.Put(ctx, db.KindVessel, fmt.Sprint(i%10), fmt.Appendf(nil, "%d", i), db.AnyRevision)
				if err != nil {
					t.Error(err)
					return
				}
			}
		})
		for range 5 {
			taken := backup(t, d)
			back := dbtest.Open(t, dbtest.SQLite)
			require.NoError(t, back.Restore(ctx, bytes.NewReader(taken)))
			docs, err := back.List(ctx, db.KindVessel)
			require.NoError(t, err)
			last := int64(0)
			for _, doc := range docs {
				last = max(last, doc.Revision)
			}
			require.Equal(t, change(t, back), last, "the log and what it speaks of are of one moment")
		}
		close(stop)
		wg.Wait()
	})
}

func TestEveryDamageIsFoundBeforeAnythingIsRestored(t *testing.T) {
	t.Parallel()
	small := dbtest.Open(t, dbtest.SQLite)
	add(t, small, season(40)...)
	whole := backup(t, small)
	d := dbtest.Open(t, dbtest.SQLite)
	r := rand.New(rand.NewPCG(1, 0))
	damages := dbtest.Rounds(t, 500, 1_000)
	for n := range damages {
		bad := bytes.Clone(whole)
		at := r.IntN(len(bad))
		switch n % 4 {
		case 0:
			bad[at] ^= 1 << r.IntN(8)
		case 1:
			bad = bad[:at]
		case 2:
			bad = append(bad[:at], bad[min(len(bad), at+1+r.IntN(200)):]...)
		case 3:
			bad = append(bad[:at:at], append([]byte{byte(r.IntN(256))}, bad[at:]...)...)
		}
		if bytes.Equal(bytes.TrimRight(bad, "\n"), bytes.TrimRight(whole, "\n")) {
			continue
		}
		require.Error(t, d.Restore(ctx, bytes.NewReader(bad)), "damage %d at %d of %d", n, at, len(whole))
	}
	require.Zero(t, change(t, d))
	require.NoError(t, d.Restore(ctx, bytes.NewReader(whole)))
	dbtest.Figure(t, "D5", "random damages to a backup", "%d of %d found before anything was restored", damages, damages)
}

func TestABackupOfAnotherSchemaIsRefused(t *testing.T) {
	t.Parallel()
	d := dbtest.Open(t, dbtest.SQLite)
	taken := string(backup(t, d))
	other := strings.Replace(taken, fmt.Sprintf(`"schema":%d`, db.Newest), `"schema":99`, 1)
	require.NotEqual(t, taken, other)
	require.Error(t, d.Restore(ctx, strings.NewReader(other)))
}

func TestABackupFileIsWholeOrNotThere(t *testing.T) {
	t.Parallel()
	d := filled(t, dbtest.SQLite)
	path := filepath.Join(t.TempDir(), "season.backup")
	info, err := d.BackupFile(ctx, path)
	require.NoError(t, err)
	require.Equal(t, change(t, d), info.Changes)
	require.Equal(t, time.UnixMilli(1_780_000_000_123).UTC(), info.Last)
	got, err := os.ReadFile(path)
	require.NoError(t, err)
	require.Equal(t, string(backup(t, d)), string(got))
	_, err = d.BackupFile(ctx, path)
	require.ErrorIs(t, err, db.ErrConflict)
	files, err := os.ReadDir(filepath.Dir(path))
	require.NoError(t, err)
	require.Len(t, files, 1)
	_, err = d.BackupFile(ctx, filepath.Join(t.TempDir(), "no folder", "x"))
	require.Error(t, err)
}

// A whole season's crowd goes from one database to the other while it is being
// written to, and is the same there.
func TestABackupUnderLoadMovesToTheOtherDatabase(t *testing.T) {
	t.Parallel()
	for from, to := range map[string]string{"sqlite": "postgres", "postgres": "sqlite"} {
		t.Run(from+" to "+to, func(t *testing.T) {
			t.Parallel()
			n := dbtest.Rounds(t, 5_000, 100_000)
			d := dbtest.Open(t, engines[from])
			for rest := season(n); len(rest) > 0; rest = rest[min(len(rest), 5_000):] {
				add(t, d, rest[:min(len(rest), 5_000)]...)
			}
			load, stop := context.WithCancel(ctx)
			var wg sync.WaitGroup
			wg.Go(func() {
				for i := 0; load.Err() == nil; i++ {
					_, err := d.Put(load, db.KindVessel, fmt.Sprint(i%10), fmt.Appendf(nil, "%d", i), db.AnyRevision)
					if err != nil && load.Err() == nil {
						t.Error(err)
						return
					}
				}
			})
			begin := time.Now()
			path := filepath.Join(t.TempDir(), "season.backup")
			info, err := d.BackupFile(ctx, path)
			require.NoError(t, err)
			saved := time.Since(begin)
			stop()
			wg.Wait()
			f, err := os.Open(path)
			require.NoError(t, err)
			defer f.Close()
			url := engines[to](t)
			begin = time.Now()
			_, err = db.RestoreTo(ctx, url, f, db.Restoring{})
			require.NoError(t, err)
			restored := time.Since(begin)
			again, err := db.CheckBackup(bytes.NewReader(backup(t, dbtest.Reopen(t, url))))
			require.NoError(t, err)
			require.Equal(t, info, again, "one logical hash")
			dbtest.Figure(t, "D7", from+" to "+to+" under load", "%d reports: backup with its check %.1f s, restore %.1f s, equal hash", n, saved.Seconds(), restored.Seconds())
		})
	}
}
