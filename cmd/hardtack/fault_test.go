package main

import (
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"hardtack/db/dbtest"
)

// The program is killed, or the disk refuses, at every storage call of each of
// its works in turn. Whatever happened: what is kept opens and is in order, is
// as before or as after, never between; success was only told of what is
// there; and the same command again gives what it would have given.
func TestStorageFailsAtEveryCall(t *testing.T) {
	t.Parallel()
	for _, failure := range []struct {
		goal, name, how, from, calls string
		few                          int // of each call, in the short form
	}{
		{"D3", "killed", "signal=KILL", "", storageCalls, 2},
		{"D4", "disk full once", "error=ENOSPC", "", "pwrite64,ftruncate", 1},
		{"D4", "disk full from there on", "error=ENOSPC", "+", "pwrite64", 1},
		{"D4", "I/O error", "error=EIO", "", "pwrite64,fsync", 1},
	} {
		t.Run(failure.name, func(t *testing.T) {
			t.Parallel()
			points := map[string]bool{}
			told := 0
			for _, w := range works(t) {
				start := user(t)
				w.prepare(start)
				d := drill{t: t, work: w, start: start}
				begin := start.copied()
				d.before = begin.state(filepath.Join(begin.home, w.where))
				end := start.copied()
				calls, code := end.strace("", "", w.args...)
				require.Equal(t, exitOK, code, "%s runs when nothing fails", w.name)
				d.after = end.state(filepath.Join(end.home, w.where))
				every := countOf(calls)
				for call := range strings.SplitSeq(failure.calls, ",") {
					for n := 1; n <= every[call]; n += step(t, failure.few, every[call]) {
						name, ok := d.fail(call, failure.how+":when="+itoa(n)+failure.from, n)
						points[w.name+": "+name] = true
						if ok {
							told++
						}
					}
				}
			}
			if failure.goal == "D3" {
				require.GreaterOrEqual(t, len(points), 25, "named points")
			}
			dbtest.Figure(t, failure.goal, failure.name+" at a storage call", "%d named points in %d works: all or nothing at each, the repeat gives the same; success told at %d, the data there each time", len(points), len(works(t)), told)
		})
	}
}

// step leaves calls out where the drill is short.
func step(t *testing.T, few, calls int) int { return max(1, calls/dbtest.Rounds(t, few, 1_000)) }

// drill is one work that is failed again and again from the same start.
type drill struct {
	t             *testing.T
	work          work
	start         as
	before, after string
}

// fail fails the n-th call and gives the point's name, and whether the program
// told success.
func (d drill) fail(call, how string, n int) (point string, told bool) {
	u := d.start.copied()
	calls, code := u.strace(call, how, d.work.args...)
	point = call + " " + itoa(n)
	if seen := only(calls, call); len(seen) >= n {
		point = seen[n-1] + " " + itoa(n)
	}
	u.wholeBackups()
	where := filepath.Join(u.home, d.work.where)
	found := u.run("--db", where, "doctor")
	require.Equal(d.t, exitOK, found.code, "%s, %s: %s", d.work.name, point, found.out)
	now := u.state(where)
	require.True(d.t, now == d.before || now == d.after, "%s, %s (exit code %d): neither before nor after: %s", d.work.name, point, code, apart(d.after, now))
	if told = code == exitOK; told {
		require.True(d.t, d.after == now, "%s, %s: success was told: %s", d.work.name, point, apart(d.after, now))
	}
	again := u.process(nil, d.work.args...)
	out, err := again.CombinedOutput()
	if now != d.after || d.work.name == "document" {
		require.NoError(d.t, err, "%s again after %s: %s", d.work.name, point, out)
	}
	now = u.state(where)
	require.True(d.t, d.after == now, "%s again after %s: %s", d.work.name, point, apart(d.after, now))
	return point, told
}

func only(calls []string, name string) (out []string) {
	for _, c := range calls {
		if strings.HasPrefix(c, name+"(") {
			out = append(out, c)
		}
	}
	return out
}

// apart shows where two long texts part.
func apart(want, got string) string {
	at := 0
	for at < min(len(want), len(got)) && want[at] == got[at] {
		at++
	}
	around := func(s string) string { return s[max(0, at-100):min(len(s), at+100)] }
	return "want …" + around(want) + "… got …" + around(got) + "…"
}
