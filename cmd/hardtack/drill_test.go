package main

import (
	"bufio"
	"bytes"
	"context"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"hardtack/db"
)

// asProgram makes a copy of this test program be the program itself.
const asProgram = "HARDTACK_TEST_AS_PROGRAM"

func TestMain(m *testing.M) {
	if os.Getenv(asProgram) != "" {
		main()
	}
	os.Exit(m.Run())
}

// process is a run of the program in a process of its own, perhaps under a
// tracer that has the system fail it.
func (u as) process(tracer []string, args ...string) *exec.Cmd {
	u.t.Helper()
	self, err := os.Executable()
	require.NoError(u.t, err)
	line := append(append(tracer[:len(tracer):len(tracer)], self), args...)
	cmd := exec.Command(line[0], line[1:]...)
	cmd.Dir = u.home
	cmd.Env = append(os.Environ(), asProgram+"=1", "GOMAXPROCS=1", "HOME="+u.home, "XDG_DATA_HOME="+filepath.Join(u.home, "data"), "HARDTACK_TODAY=2026-09-05")
	return cmd
}

// storageCalls are those that change what is on the disk.
const storageCalls = "pwrite64,fsync,ftruncate,renameat,unlinkat"

// strace runs the program and lets a call fail as told: "signal=KILL:when=3",
// "error=ENOSPC:when=5+"; without a failure it only watches. The calls come back
// as "call(file)", in order. Strace counts for each thread; a run has few.
func (u as) strace(call, failure string, args ...string) (calls []string, code int) {
	u.t.Helper()
	log := filepath.Join(u.t.TempDir(), "calls")
	tracer := []string{"strace", "-f", "-y", "-s", "0", "-o", log, "-e", "signal=none", "-e", "trace=" + storageCalls}
	if failure != "" {
		tracer = append(tracer, "-e", "inject="+call+":"+failure)
	}
	cmd := u.process(tracer, args...)
	var said bytes.Buffer
	cmd.Stderr = &said
	_ = cmd.Run() // judged by its exit code
	require.NotContains(u.t, said.String(), "panic", "%v", args)
	require.NotContains(u.t, said.String(), "strace:", "%v", args)
	f, err := os.Open(log)
	require.NoError(u.t, err, "strace must be there: run .ci/tools")
	defer f.Close()
	for lines := bufio.NewScanner(f); lines.Scan(); {
		if m := traced.FindStringSubmatch(lines.Text()); m != nil {
			calls = append(calls, m[1]+"("+uuidOrNumber.ReplaceAllString(filepath.Base(m[2]), "*")+")")
		}
	}
	return calls, cmd.ProcessState.ExitCode()
}

var (
	traced        = regexp.MustCompile(`^\d+ +(\w+)\([^<"]*[<"]([^>"]*)[>"]`)
	uuidOrNumber  = regexp.MustCompile(`[0-9]{5,}`)
	uuid          = regexp.MustCompile(`[0-9a-f]{8}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{12}`)
	secondsOfPlan = regexp.MustCompile(`\\"seconds\\":[0-9.e-]+`)
)

// state is all that a database holds, as its backup, with random ids and the
// time a plan took left out; empty when nothing is kept yet.
func (u as) state(where string) string {
	u.t.Helper()
	if _, err := os.Stat(where); err != nil {
		return ""
	}
	d, err := db.Open(context.Background(), where)
	require.NoError(u.t, err)
	defer func() { require.NoError(u.t, d.Close()) }()
	var b bytes.Buffer
	require.NoError(u.t, d.Backup(context.Background(), &b))
	text := b.String()
	if !strings.Contains(text, "\n[") {
		return ""
	}
	text = text[:strings.LastIndex(strings.TrimSpace(text), "\n")] // the checksum
	return secondsOfPlan.ReplaceAllString(uuid.ReplaceAllString(text, "id"), "")
}

// copied is another home with the same files.
func (u as) copied() as {
	u.t.Helper()
	other := user(u.t)
	require.NoError(u.t, os.CopyFS(filepath.Join(other.home, "copy"), os.DirFS(u.home)))
	other.home = filepath.Join(other.home, "copy")
	return other
}

// work is something the program does to what is kept, and what it starts from.
type work struct {
	name    string
	prepare func(u as)
	args    []string
	where   string // the database it writes
}

const ownDB = "data/hardtack/hardtack.db"

func works(t *testing.T) []work {
	t.Helper()
	reports := demoReports(t, 300)
	boat := func(u as) { u.boat() }
	schema1, err := os.ReadFile(filepath.Join(root, "testdata", "schemas", "0001", "season.backup"))
	require.NoError(t, err)
	return []work{
		{"document", boat, []string{"crew", "person", "Cy", "--age", "30"}, ownDB},
		{"import", func(u as) { u.boat(); u.file("reports.csv", reports) }, []string{"import", "reports.csv"}, ownDB},
		{"plan", boat, []string{"plan", "--work", "50"}, ownDB},
		{"backup", boat, []string{"backup", "save", "season.backup"}, ownDB},
		{"restore", func(u as) { u.boat(); u.ok("backup", "save", filepath.Join(u.home, "b.backup")) },
			[]string{"--db", "new.db", "backup", "restore", "b.backup"}, "new.db"},
		{"exchange", func(u as) {
			u.boat()
			other := user(u.t)
			// A first file makes the other's key known, which is kept before what is in the file.
			other.ok("exchange", "write", "--all", filepath.Join(u.home, "first.records"))
			u.ok("exchange", "read", filepath.Join(u.home, "first.records"))
			other.ok("import", other.file("reports.csv", reports))
			other.ok("exchange", "write", "--all", filepath.Join(u.home, "mail.records"))
		}, []string{"exchange", "read", "mail.records"}, ownDB},
		{"migration", func(u as) { u.oldFile("old.db", schema1) }, []string{"--db", "old.db", "migrate", "up"}, "old.db"},
	}
}

// demoReports is the head of the demo's reports.
func demoReports(t *testing.T, n int) string {
	t.Helper()
	b, err := os.ReadFile(filepath.Join(root, "seed", "demo", "reports.csv"))
	require.NoError(t, err)
	lines := strings.SplitAfterN(string(b), "\n", n+2)
	return strings.Join(lines[:n+1], "")
}

// oldFile is a database of schema 1 with reports in it.
func (u as) oldFile(name string, backup []byte) {
	u.t.Helper()
	where := filepath.Join(u.home, name)
	_, err := db.RestoreTo(context.Background(), where, bytes.NewReader(backup), db.Restoring{})
	require.NoError(u.t, err)
	_, err = db.MigrateTo(context.Background(), where, 1)
	require.NoError(u.t, err)
	for _, left := range []string{".schema-" + itoa(int(db.Newest)), "-wal", "-shm"} {
		if err := os.Remove(where + left); err != nil {
			require.ErrorIs(u.t, err, os.ErrNotExist)
		}
	}
}

// countOf numbers the calls of one name.
func countOf(calls []string) map[string]int {
	out := map[string]int{}
	for _, c := range calls {
		name, _, _ := strings.Cut(c, "(")
		out[name]++
	}
	return out
}

// wholeBackups says that a failure left no half backup under its name.
func (u as) wholeBackups() {
	u.t.Helper()
	names, err := filepath.Glob(filepath.Join(u.home, "*.backup"))
	require.NoError(u.t, err)
	for _, n := range names {
		f, err := os.Open(n)
		require.NoError(u.t, err)
		_, err = db.CheckBackup(f)
		require.NoError(u.t, err, "%s has its name and is not whole", n)
		require.NoError(u.t, f.Close())
	}
}
