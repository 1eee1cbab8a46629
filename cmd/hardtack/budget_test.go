//go:build !race

package main

import (
	"context"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"hardtack/db/dbtest"
	"hardtack/route/plan"
)

// budget says how much processor time things may take, in times of the
// reference: sorting a million numbers. Both are measured in turn in the same
// run, so that a slow or busy machine slows both. Ratios of 2026-11-25; twice as
// much fails. A change
// that makes one lastingly faster writes down the new ratio.
var budget = []struct {
	name  string
	times float64
	run   func(*testing.T, as)
}{
	{"plan a season, 300 schedules tried", 1.8, planSeason},
	{"estimate every price from 3,000 reports", 1.2, func(t *testing.T, u as) {
		u.ok("estimate", "--dataset", filepath.Join(u.home, "season"), "--on", "2026-09-01", "-o", filepath.Join(u.home, "estimates.csv"))
	}},
	{"import 3,000 reports", 1.2, func(t *testing.T, u as) {
		fresh := filepath.Join(t.TempDir(), "fresh.db")
		u.ok("--db", fresh, "import", filepath.Join(u.home, "reports.csv"))
	}},
	{"find a port", 0.3, func(t *testing.T, u as) { u.ok("ports", "funchal") }},
	{"back 3,000 reports up", 0.5, func(t *testing.T, u as) {
		u.ok("backup", "save", filepath.Join(t.TempDir(), "b.backup"))
	}},
}

// Not parallel: it measures.
func TestNothingTakesTwiceItsTime(t *testing.T) {
	u := user(t)
	u.demoFiles()
	u.ok("import", filepath.Join(u.home, "reports.csv"))
	reference := shortest(sortMillion)
	for _, b := range budget {
		times, tries := 0.0, 0
		for ; tries < 3 && (tries == 0 || times > 2*b.times); tries++ { // a hiccup is not a regression
			took := shortest(func() { b.run(t, u) })
			reference = min(reference, shortest(sortMillion))
			times = took.Seconds() / reference.Seconds()
		}
		dbtest.Figure(t, "Code", "budget: "+b.name, "%.2f times the reference (%.0f ms), budget %.2f", times, 1000*reference.Seconds(), b.times)
		if times > 2*b.times {
			t.Errorf("%s takes %.2f times the reference, it was %.2f: find out why", b.name, times, b.times)
		}
	}
}

// shortest of three, in processor time of this process.
func shortest(f func()) time.Duration {
	var all []time.Duration
	for range 3 {
		begin := spent()
		f()
		all = append(all, spent()-begin)
	}
	return slices.Min(all)
}

func spent() time.Duration {
	var u syscall.Rusage
	if err := syscall.Getrusage(syscall.RUSAGE_SELF, &u); err != nil {
		panic(err)
	}
	return time.Duration(u.Utime.Nano() + u.Stime.Nano())
}

func sortMillion() {
	r := rand.New(rand.NewPCG(1, 2))
	x := make([]float64, 1_000_000)
	for i := range x {
		x[i] = r.Float64()
	}
	slices.Sort(x)
}

func planSeason(t *testing.T, _ as) {
	f, err := os.Open(filepath.Join(root, "testdata", "instances", "season-101.json"))
	require.NoError(t, err)
	defer f.Close()
	b, err := plan.ParseBrief(f)
	require.NoError(t, err)
	_, err = plan.Solve(context.Background(), b, plan.Budget{Work: 300}, nil)
	require.NoError(t, err)
}
