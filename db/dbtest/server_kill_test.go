//go:build unix

package dbtest_test

import (
	"fmt"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"hardtack/db"
	"hardtack/db/dbtest"
	"hardtack/pricing"
)

// One PostgreSQL that syncs its disk, without a standby, killed with all its
// processes under four writers and started again: what was acknowledged is
// there, once, and nothing is half there. A write nobody was told about may be
// there or not. Writers go on by themselves once the server is back.
func TestKilledServerLosesNothing(t *testing.T) {
	server := dbtest.NewServer(t)
	_, err := db.Migrate(ctx, server.URL())
	require.NoError(t, err)
	d := dbtest.Reopen(t, server.URL())
	kills, acked, doubtful := dbtest.Rounds(t, 2, 100), map[string]bool{}, 0
	for round := range kills {
		told, failed := writeUntilKilled(t, d, server, round)
		doubtful += failed
		for _, id := range told {
			acked[id] = true
		}
		server.Start()
		kept := map[string]int{}
		require.NoError(t, d.EachReport(ctx, db.Filter{}, func(r pricing.Report) error {
			kept[r.ID]++
			return nil
		}))
		require.EqualValues(t, len(kept), 2*change(t, d), "every change brought its two reports")
		for id, n := range kept {
			require.Equal(t, 1, n, "twice: %s", id)
		}
		for id := range acked {
			require.Equal(t, []int{1, 1}, []int{kept[id], kept[id+"-b"]}, "acknowledged and lost: %s", id)
		}
	}
	require.NotEmpty(t, acked)
	dbtest.Figure(t, "D1", "PostgreSQL: the server killed with all its processes under 4 writers, started again", "%d kills, %d acknowledged writes, 0 lost, 0 twice, 0 half; %d were cut off unanswered",
		kills, len(acked), doubtful)
}

// writeUntilKilled gives what was acknowledged, and how many writes failed.
func writeUntilKilled(t *testing.T, d *db.DB, server *dbtest.Server, round int) (acked []string, failed int) {
	t.Helper()
	var wg sync.WaitGroup
	var mu sync.Mutex
	var done atomic.Int64
	for w := range 4 {
		wg.Go(func() {
			for i := 0; ; i++ {
				id := fmt.Sprintf("%d-%d-%d", round, w, i)
				_, err := d.AddReports(ctx, pair(id))
				mu.Lock()
				if err != nil {
					failed++
					mu.Unlock()
					if !db.Away(err) {
						t.Error(err)
					}
					return
				}
				acked = append(acked, id)
				mu.Unlock()
				done.Add(1)
			}
		})
	}
	require.Eventually(t, func() bool { return done.Load() > 8 }, time.Minute, time.Millisecond)
	time.Sleep(time.Duration(17*round%50) * time.Millisecond)
	server.Kill()
	wg.Wait()
	return acked, failed
}
