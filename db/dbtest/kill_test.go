package dbtest_test

import (
	"bufio"
	"context"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"hardtack/db"
	"hardtack/db/dbtest"
	"hardtack/pricing"
)

// victimOf names the database that a copy of this test program writes to until
// it is killed; it prints the id of every report it was told is kept.
const victimOf = "HARDTACK_TEST_VICTIM_OF"

func TestMain(m *testing.M) {
	if url := os.Getenv(tellerOf); url != "" {
		teller(url)
	}
	if url := os.Getenv(victimOf); url != "" {
		if script := os.Getenv(dieAfter); script != "" {
			dieMigrating(url, script)
		}
		victim(url)
	}
	dbtest.Main(m)
}

// die is a kill -9 of oneself.
func die() {
	self, err := os.FindProcess(os.Getpid())
	if err == nil {
		err = self.Kill()
	}
	panic(fmt.Sprint("still alive: ", err))
}

func victim(url string) {
	d, err := db.Open(context.Background(), url)
	if err != nil {
		fmt.Println("fault", err)
		os.Exit(1)
	}
	var wg sync.WaitGroup
	var line sync.Mutex
	for w := range 4 {
		wg.Go(func() {
			for i := 0; ; i++ {
				id := fmt.Sprintf("%d-%d-%d", os.Getpid(), w, i)
				if _, err := d.AddReports(context.Background(), pair(id)); err != nil {
					fmt.Println("fault", err)
					os.Exit(1)
				}
				line.Lock()
				fmt.Println(id)
				line.Unlock()
			}
		})
	}
	wg.Wait()
}

// pair is two reports that come together or not at all.
func pair(id string) []pricing.Report { return []pricing.Report{coffee(id), coffee(id + "-b")} }

// Four writers killed outright, again and again: what they were told is kept
// is there, once, and nothing is half there. (A killed process; a power cut
// takes more and needs a disk of its own.)
func TestKilledWritersLoseNothing(t *testing.T) {
	onBoth(t, func(t *testing.T, e dbtest.Engine) {
		const atOnce = 4 // kills of one database
		acked, times := 0, dbtest.Rounds(t, 1, 250)
		for n := range times {
			acked += killAgainAndAgain(t, e, atOnce, n)
		}
		dbtest.Figure(t, "D1", filepath.Base(t.Name())+": kill -9 under 4 writers", "%d kills, %d acknowledged writes, 0 lost, 0 twice, 0 half", atOnce*times, acked)
	})
}

func killAgainAndAgain(t *testing.T, e dbtest.Engine, kills, n int) int {
	t.Helper()
	url := dbtest.Migrated(t, e)
	acked := map[string]bool{}
	for k := range kills {
		for _, id := range killed(t, url, time.Duration(20+(35*k+13*n)%120)*time.Millisecond) {
			require.False(t, acked[id])
			acked[id] = true
		}
		d, err := db.Open(ctx, url)
		require.NoError(t, err)
		there := all(t, d, db.Filter{})
		require.EqualValues(t, len(there), 2*change(t, d), "every change brought its two reports")
		kept := map[string]bool{}
		for _, id := range there {
			kept[strings.TrimSuffix(id, "-b")] = true
		}
		require.Len(t, kept, len(there)/2, "nothing twice, nothing half")
		for id := range acked {
			require.True(t, kept[id], "acknowledged and lost: %s", id)
		}
		require.NoError(t, d.Close())
	}
	require.NotEmpty(t, acked)
	return len(acked)
}

// killed runs a victim for a while after its first acknowledgement and gives
// all of them.
func killed(t *testing.T, url string, after time.Duration) []string {
	t.Helper()
	return killedAs(t, victimOf, url, after)
}

func killedAs(t *testing.T, what, url string, after time.Duration) []string {
	t.Helper()
	self, err := os.Executable()
	require.NoError(t, err)
	cmd := exec.Command(self)
	cmd.Env = append(os.Environ(), what+"="+url)
	out, err := cmd.StdoutPipe()
	require.NoError(t, err)
	require.NoError(t, cmd.Start())
	var ids []string
	lines := bufio.NewScanner(out)
	for lines.Scan() {
		if len(ids) == 0 {
			time.AfterFunc(after, func() { _ = cmd.Process.Kill() })
		}
		require.NotContains(t, lines.Text(), "fault")
		ids = append(ids, lines.Text())
	}
	require.Error(t, cmd.Wait(), "killed")
	return ids
}
