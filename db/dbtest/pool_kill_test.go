package dbtest_test

import (
	"bytes"
	"context"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"hardtack/db"
	"hardtack/db/dbtest"
	"hardtack/pricing"
)

// tellerOf names the database that a copy of this test program writes reports
// to, tells those that wait and keeps sums in, until it is killed.
const tellerOf = "HARDTACK_TEST_TELLER_OF"

func teller(url string) {
	d, err := db.Open(context.Background(), url)
	if err == nil {
		d.Now = func() time.Time { return time.Date(2026, 6, 15, 0, 0, 0, 0, time.UTC) }
		var wg sync.WaitGroup
		var line sync.Mutex
		for _, work := range []func(i int) error{
			func(i int) error { return reportSomewhere(d, i) }, func(int) error { return tellAll(d) }, func(i int) error { return sumsOf(d, i) },
		} {
			wg.Go(func() {
				for i := 0; ; i++ {
					if err := work(i); err != nil {
						fmt.Println("fault", err)
						os.Exit(1)
					}
					line.Lock()
					fmt.Println("done")
					line.Unlock()
				}
			})
		}
		wg.Wait()
	}
	fmt.Println("fault", err)
	os.Exit(1)
}

func reportSomewhere(d *db.DB, i int) error {
	id := fmt.Sprintf("%d-%d", os.Getpid(), i)
	rs := pair(id)
	for k := range rs {
		rs[k].Port, rs[k].Day = pricing.PortID(id), day("2026-06-01")
	}
	_, err := d.AddReports(context.Background(), rs)
	return err
}

// tellAll tells one of each pair that waits; the other waits on.
func tellAll(d *db.DB) error {
	pools, err := d.Pools(context.Background(), day("2026-07-08"), "rule")
	if err != nil {
		return err
	}
	var ps []db.Publication
	err = d.EachUntold(context.Background(), pools, func(u db.Untold) error {
		if u.ID == string(u.Port) {
			ps = append(ps, db.Publication{Report: u.ID, Day: day("2026-06-01")})
		}
		return nil
	})
	if err != nil {
		return err
	}
	looks := make([]db.Look, len(pools))
	for i, p := range pools {
		looks[i] = db.Look{Pool: p, Next: day("2028-01-02"), Rule: "rule"}
	}
	_, _, err = d.Publish(context.Background(), ps, looks, func(n int64) string { return recordID(int(n)) })
	return err
}

func sumsOf(d *db.DB, i int) error {
	return d.PutSums(context.Background(), slices.Values([][]byte{{byte(i)}, bytes.Repeat([]byte{byte(i)}, 5000), {byte(i)}}))
}

// One who reports, tells and keeps sums, killed outright again and again: every
// report is told, once, or found where it waits; sums are whole.
func TestKilledTellersForgetNothing(t *testing.T) {
	onBoth(t, func(t *testing.T, e dbtest.Engine) {
		url, kills, reports := dbtest.Migrated(t, e), dbtest.Rounds(t, 3, 100), 0
		for n := range kills {
			killedAs(t, tellerOf, url, time.Duration(30+37*n%150)*time.Millisecond)
			d, err := db.Open(ctx, url)
			require.NoError(t, err)
			told := all(t, d, db.Filter{Published: true})
			pools, err := d.Pools(ctx, day("2999-01-01"))
			require.NoError(t, err)
			var waiting []string
			require.NoError(t, d.EachUntold(ctx, pools, func(u db.Untold) error { waiting = append(waiting, u.ID); return nil }))
			everything := all(t, d, db.Filter{})
			require.ElementsMatch(t, everything, slices.Concat(told, waiting))
			due, err := d.Pools(ctx, day("2026-07-08"), "rule")
			require.NoError(t, err)
			require.NoError(t, d.EachUntold(ctx, due, func(u db.Untold) error {
				waiting = slices.DeleteFunc(waiting, func(id string) bool { return id == u.ID })
				return nil
			}))
			for _, id := range waiting {
				require.Contains(t, id, "-b", "due, and in no pool worth a look")
			}
			reports = len(everything)
			kept := sums(t, d)
			require.NoError(t, d.Close())
			if len(kept) == 0 && n < 3 {
				continue // killed before the first were kept
			}
			require.Len(t, kept, 3)
			require.Equal(t, []string{kept[0], string(bytes.Repeat([]byte(kept[0]), 5000))}, []string{kept[2], kept[1]})
		}
		dbtest.Figure(t, "D1", filepath.Base(t.Name())+": kill -9 of who reports, tells and keeps sums", "%d kills, %d reports, each told once or found where it waits; sums whole", kills, reports)
	})
}
