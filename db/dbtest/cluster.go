//go:build unix

package dbtest

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"net"
	"os"
	"os/exec"
	"os/user"
	"path/filepath"
	"sort"
	"strconv"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// Server is a PostgreSQL server of a test's own, to be killed and replaced. It
// is gone after the test. Its superuser is hardtack_owner, and it trusts this machine.
type Server struct {
	t    testing.TB
	dir  string
	port int
	as   *syscall.Credential // nil: whoever runs the test
	with []string            // settings
}

// NewServer starts a server with settings, "name=value". What it acknowledges
// is on its disk.
func NewServer(t testing.TB, settings ...string) *Server {
	t.Helper()
	s := place(t)
	s.tool("initdb", "-D", s.dir, "-U", "hardtack_owner", "-A", "trust", "-E", "UTF8", "--no-sync")
	s.with = settings
	s.Start()
	return s
}

// NewStandby starts a server that follows another and tells it by a name how
// far it is.
func NewStandby(t testing.TB, of *Server, name string) *Server {
	t.Helper()
	s := place(t)
	s.tool("pg_basebackup", "-D", s.dir, "-h", "127.0.0.1", "-p", strconv.Itoa(of.port), "-U", "hardtack_owner", "-X", "stream", "-c", "fast", "-R", "--no-sync")
	s.with = []string{"cluster_name=" + name, "hot_standby=on"}
	s.Start()
	s.Tell("ALTER SYSTEM SET synchronous_standby_names = ''", "SELECT pg_reload_conf()") // it waits for nobody yet
	return s
}

func place(t testing.TB) *Server {
	t.Helper()
	dir, err := os.MkdirTemp("", "hardtack-pg")
	require.NoError(t, err)
	s := &Server{t: t, dir: filepath.Join(dir, "data")}
	if os.Getuid() == 0 { // as root a server does not start
		u, err := user.Lookup("postgres")
		require.NoError(t, err)
		uid, err := strconv.ParseUint(u.Uid, 10, 32)
		require.NoError(t, err)
		gid, err := strconv.ParseUint(u.Gid, 10, 32)
		require.NoError(t, err)
		s.as = &syscall.Credential{Uid: uint32(uid), Gid: uint32(gid)}
		require.NoError(t, os.Chown(dir, int(uid), int(gid)))
	}
	l, err := net.Listen("tcp", "127.0.0.1:0")
	require.NoError(t, err)
	s.port = l.Addr().(*net.TCPAddr).Port
	require.NoError(t, l.Close())
	t.Cleanup(func() {
		if s.pid() != 0 {
			s.Kill()
		}
		require.NoError(t, os.RemoveAll(dir))
	})
	return s
}

// Start starts a server that does not run: it makes good what a kill left.
func (s *Server) Start() {
	s.t.Helper()
	options := fmt.Sprintf("-p %d -c listen_addresses=127.0.0.1 -c unix_socket_directories='' -c max_connections=60", s.port)
	for _, x := range s.with {
		options += " -c '" + x + "'"
	}
	s.tool("pg_ctl", "-D", s.dir, "-l", filepath.Join(filepath.Dir(s.dir), "log"), "-w", "-o", options, "start")
}

// tool runs one of PostgreSQL's own programs, the newest there is.
func (s *Server) tool(name string, args ...string) {
	s.t.Helper()
	bins, err := filepath.Glob("/usr/lib/postgresql/*/bin/" + name)
	require.NoError(s.t, err)
	sort.Strings(bins)
	bin := name
	if len(bins) > 0 {
		bin = bins[len(bins)-1]
	}
	cmd := exec.Command(bin, args...)
	cmd.Dir = filepath.Dir(s.dir)
	cmd.SysProcAttr = &syscall.SysProcAttr{Credential: s.as}
	var said bytes.Buffer
	if name != "pg_ctl" { // what it starts would keep a pipe open
		cmd.Stdout, cmd.Stderr = &said, &said
	}
	if err := cmd.Run(); err != nil {
		log, _ := os.ReadFile(filepath.Join(filepath.Dir(s.dir), "log"))
		require.NoError(s.t, err, "%s: %s%s", name, &said, log)
	}
}

// URL is that of the server, or of whichever of it and others is in charge.
func (s *Server) URL(others ...*Server) string {
	hosts := []string{}
	for _, o := range append([]*Server{s}, others...) {
		hosts = append(hosts, fmt.Sprintf("127.0.0.1:%d", o.port))
	}
	url := "postgres://hardtack_owner@" + strings.Join(hosts, ",") + "/postgres?sslmode=disable&connect_timeout=5"
	if len(others) > 0 {
		url += "&target_session_attrs=read-write"
	}
	return url
}

// Promote makes a standby the one in charge.
func (s *Server) Promote() {
	s.t.Helper()
	s.tool("pg_ctl", "-D", s.dir, "-w", "promote")
}

// Kill kills the server and all its processes as a power cut of its machine
// would: none of them gets to do anything more.
func (s *Server) Kill() {
	s.t.Helper()
	postmaster := s.pid()
	require.NotZero(s.t, postmaster)
	require.NoError(s.t, syscall.Kill(postmaster, syscall.SIGSTOP)) // starts nothing more
	all := append(childrenOf(postmaster), postmaster)
	for _, pid := range all {
		if err := syscall.Kill(pid, syscall.SIGKILL); !errors.Is(err, syscall.ESRCH) {
			require.NoError(s.t, err)
		}
	}
	for _, pid := range all {
		require.Eventually(s.t, func() bool { return ended(pid) }, time.Minute, time.Millisecond)
	}
	require.NoError(s.t, os.Remove(filepath.Join(s.dir, "postmaster.pid")))
}

// pid is that of the server's first process, 0 when it does not run.
func (s *Server) pid() int {
	text, err := os.ReadFile(filepath.Join(s.dir, "postmaster.pid"))
	if err != nil {
		return 0
	}
	first, _, _ := strings.Cut(string(text), "\n")
	pid, err := strconv.Atoi(first)
	require.NoError(s.t, err)
	return pid
}

// ended says of a process whether it does nothing any more.
func ended(pid int) bool {
	state, _, err := processOf(fmt.Sprintf("/proc/%d/stat", pid))
	return err != nil || state == "Z"
}

// processOf reads a process's state and its parent.
func processOf(stat string) (state string, parent int, err error) {
	text, err := os.ReadFile(stat)
	if err != nil {
		return "", 0, err
	}
	_, rest, _ := strings.Cut(string(text), ") ") // the name may hold anything
	_, err = fmt.Sscan(rest, &state, &parent)
	return state, parent, err
}

func childrenOf(parent int) []int {
	var out []int
	stats, _ := filepath.Glob("/proc/[0-9]*/stat")
	for _, f := range stats {
		_, of, err := processOf(f)
		if err != nil || of != parent {
			continue
		}
		if pid, err := strconv.Atoi(filepath.Base(filepath.Dir(f))); err == nil {
			out = append(out, pid)
		}
	}
	return out
}

// Tell has the server do statements as its superuser.
func (s *Server) Tell(statements ...string) {
	s.t.Helper()
	for _, text := range statements {
		s.Ask(text)
	}
}

// Ask is the one text a statement gives, empty if it gives none.
func (s *Server) Ask(text string) string {
	s.t.Helper()
	d, err := openPlain(s.URL())
	require.NoError(s.t, err)
	defer d.Close()
	rows, err := d.QueryContext(context.Background(), text)
	require.NoError(s.t, err, text)
	defer rows.Close()
	var out string
	for rows.Next() {
		require.NoError(s.t, rows.Scan(&out))
	}
	require.NoError(s.t, rows.Err(), text)
	return out
}
