package db

import (
	"bufio"
	"context"
	"database/sql"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"go.uber.org/goleak"
)

// A copy of this test program is a boat's computer: it writes documents to a
// database, two at a time, and says which it was told are kept, until the
// power goes.
const (
	powerAt     = "HARDTACK_TEST_POWER_AT"     // the database
	powerSynced = "HARDTACK_TEST_POWER_SYNCED" // SQLite's synchronous
)

func TestMain(m *testing.M) {
	if path := os.Getenv(powerAt); path != "" {
		if err := keepWriting(path, os.Getenv(powerSynced)); err != nil {
			fmt.Println("fault", err)
		}
		os.Exit(1)
	}
	goleak.VerifyTestMain(m)
}

func keepWriting(path, synchronous string) error {
	ctx := context.Background()
	if _, err := Migrate(ctx, path); err != nil {
		return err
	}
	kind := sqliteFile
	kind.open = func(path string) (reader, writer *sql.DB, err error) { return openSynced(path, synchronous) }
	d, err := connect(ctx, kind, path)
	if err != nil {
		return err
	}
	var wg sync.WaitGroup
	var line sync.Mutex
	faults := make(chan error, 2)
	for w := range 2 {
		wg.Go(func() {
			for i := 0; ; i++ {
				id := fmt.Sprintf("%d-%d-%d", os.Getpid(), w, i)
				_, err := d.Put(ctx, KindVessel, id, []byte(`"`+strings.Repeat(id, 20)+`"`), Absent)
				said := id
				if errors.Is(err, ErrFull) {
					said = "full"
				} else if err != nil {
					faults <- err
					return
				}
				line.Lock()
				fmt.Println(said)
				line.Unlock()
			}
		})
	}
	return <-faults
}

// boat is a disk of its own: an image mounted by loop. Cutting its power is
// copying the image while the computer stands still: what had not reached the
// disk is not in the copy.
type boat struct {
	t          *testing.T
	image, dir string
}

func newBoat(t *testing.T, megabytes int) *boat {
	t.Helper()
	b := &boat{t, filepath.Join(t.TempDir(), "disk"), t.TempDir()}
	b.must("truncate", "-s", fmt.Sprintf("%dM", megabytes), b.image)
	b.must("mkfs.ext4", "-q", "-m", "0", b.image)
	b.mount(b.image, b.dir)
	return b
}

func (b *boat) must(name string, args ...string) {
	b.t.Helper()
	out, err := exec.Command(name, args...).CombinedOutput()
	require.NoError(b.t, err, "%s %v: %s", name, args, out)
}

// mount gives the file system no reason of its own to write early.
func (b *boat) mount(image, dir string) {
	b.t.Helper()
	b.must("mount", "-o", "loop,commit=300,data=ordered", image, dir)
	b.t.Cleanup(func() { b.must("umount", "-l", dir) })
}

func (b *boat) database() string { return filepath.Join(b.dir, "hardtack.db") }

// computer is a process that writes.
type computer struct {
	t    *testing.T
	cmd  *exec.Cmd
	done chan struct{} // all it said was heard

	sync.Mutex
	acked       map[string]bool
	full, fault int
}

func (b *boat) computer(synchronous string, acked map[string]bool) *computer {
	b.t.Helper()
	self, err := os.Executable()
	require.NoError(b.t, err)
	c := &computer{t: b.t, cmd: exec.Command(self), done: make(chan struct{}), acked: acked}
	c.cmd.Env = append(os.Environ(), powerAt+"="+b.database(), powerSynced+"="+synchronous)
	out, err := c.cmd.StdoutPipe()
	require.NoError(b.t, err)
	require.NoError(b.t, c.cmd.Start())
	b.t.Cleanup(c.kill)
	go func() {
		defer close(c.done)
		for lines := bufio.NewScanner(out); lines.Scan(); {
			c.heard(lines.Text())
		}
	}()
	return c
}

func (c *computer) heard(line string) {
	c.Lock()
	defer c.Unlock()
	switch {
	case line == "full":
		c.full++
	case strings.HasPrefix(line, "fault"):
		c.fault++
	default:
		c.acked[line] = true
	}
}

// until waits for what was heard to be enough.
func (c *computer) until(enough func() bool) {
	c.t.Helper()
	require.Eventually(c.t, func() bool { c.Lock(); defer c.Unlock(); return enough() || c.fault > 0 }, time.Minute, time.Millisecond)
	require.Zero(c.t, c.fault)
}

// still stops the process and gives how much it was told by then.
func (c *computer) still() int {
	c.t.Helper()
	require.NoError(c.t, c.cmd.Process.Signal(syscall.SIGSTOP))
	for last, same := -1, 0; same < 5; time.Sleep(2 * time.Millisecond) {
		c.Lock()
		n := len(c.acked)
		c.Unlock()
		if same++; n != last {
			last, same = n, 0
		}
	}
	c.Lock()
	defer c.Unlock()
	return len(c.acked)
}

func (c *computer) kill() {
	_ = c.cmd.Process.Kill() // it may be gone
	<-c.done
	_ = c.cmd.Wait()
}

// cut copies the disk as it is, mounts the copy and counts what is missing of
// what was acknowledged. The database must be in order in any case.
func (b *boat) cut(acked map[string]bool) (lost int) {
	b.t.Helper()
	after := &boat{b.t, b.image + "-after", b.t.TempDir()}
	b.must("cp", "--sparse=always", b.image, after.image)
	after.mount(after.image, after.dir)
	ctx := context.Background()
	d, err := Open(ctx, after.database())
	require.NoError(b.t, err)
	docs, err := d.List(ctx, KindVessel)
	require.NoError(b.t, err)
	there := map[string]bool{}
	for _, doc := range docs {
		there[doc.ID] = true
		require.Contains(b.t, string(doc.Body), doc.ID)
	}
	for id := range acked {
		if !there[id] {
			lost++
		}
	}
	require.NoError(b.t, d.Close())
	for _, f := range Examine(ctx, after.database(), time.Now()) {
		if f.About != "room" {
			require.NotEqual(b.t, Wrong, f.Grade, "%s: %s", f.About, f.Found)
		}
	}
	return lost
}

// rounds and figure are those of dbtest, which imports this package.
func rounds(few, many int) int {
	if os.Getenv("DRILL") != "" {
		return many
	}
	return few
}

func figure(t *testing.T, goal, what, figure string, a ...any) {
	t.Helper()
	t.Logf("| %s | %s | %s | %s |", time.Now().UTC().Format(time.DateOnly), goal, what, fmt.Sprintf(figure, a...))
}

func asRoot(t *testing.T) {
	t.Helper()
	if os.Geteuid() == 0 {
		return
	}
	const why = "NOT RUN: a disk of its own has to be mounted, which takes root"
	if os.Getenv("CI") != "" {
		t.Fatal(why)
	}
	t.Skip(why)
}

// powerCut is one voyage from an empty disk to the power failing, and how much
// of what was acknowledged is missing after it.
func powerCut(t *testing.T, synchronous string, n int) (acked, lost int) {
	t.Helper()
	t.Run(fmt.Sprint(n), func(t *testing.T) { // its mounts go when it ends
		b := newBoat(t, 24)
		c := b.computer(synchronous, map[string]bool{})
		c.until(func() bool { return len(c.acked) > 20+37*(n%11) })
		acked = c.still()
		lost = b.cut(c.acked)
	})
	return acked, lost
}

// The power fails: nothing acknowledged is lost. The drill would be worth
// nothing if it could not lose: with synchronous=NORMAL it must.
func TestPowerCuts(t *testing.T) {
	asRoot(t)
	kept, cuts := 0, rounds(3, 200)
	for n := range cuts {
		acked, lost := powerCut(t, "FULL", n)
		require.Zero(t, lost, "cut %d: acknowledged and lost", n)
		kept += acked
	}
	lossy, losing := rounds(4, 15), 0
	for n := range lossy {
		if _, lost := powerCut(t, "NORMAL", n); lost > 0 {
			losing++
		}
	}
	figure(t, "D2", "power cuts", "%d cuts, %d acknowledged writes, 0 lost; with synchronous=NORMAL %d of %d cuts lost some", cuts, kept, losing, lossy)
	require.NotZero(t, losing, "void: the drill loses nothing even where it must")
}

// One trouble on top of the other: the disk fills up, the program is killed,
// there is room again, it starts anew, and the power fails.
func TestCompoundFaults(t *testing.T) {
	asRoot(t)
	full, acked, times := 0, 0, rounds(1, 20)
	for n := range times {
		t.Run(fmt.Sprint(n), func(t *testing.T) {
			b := newBoat(t, 6)
			ballast := filepath.Join(b.dir, "ballast")
			b.must("fallocate", "-l", "3M", ballast)
			c := b.computer("FULL", map[string]bool{})
			c.until(func() bool { return c.full > 3+n })
			c.kill()
			full += c.full
			require.NoError(t, os.Remove(ballast))
			before := len(c.acked)
			again := b.computer("FULL", c.acked)
			again.until(func() bool { return len(again.acked) > before+50+n })
			acked += again.still()
			require.Zero(t, b.cut(again.acked), "acknowledged and lost")
		})
	}
	figure(t, "D2+D4", "disk full, kill -9, room, restart, power cut", "%d times, %d writes refused, %d acknowledged, 0 lost", times, full, acked)
}
