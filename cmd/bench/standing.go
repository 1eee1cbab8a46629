package main

import (
	"regexp"
	"strconv"
	"strings"
)

// stand is what a solver had found and proven at a time, a dash for nothing.
type stand struct{ total, bound string }

var (
	found  = regexp.MustCompile(`Integer solution of ([-+.e\d]+) found`)
	nodes  = regexp.MustCompile(`, ([-+.e\d]+) best solution, best possible ([-+.e\d]+) `)
	timed  = regexp.MustCompile(`\(([.\d]+) seconds\)`)
	ended  = regexp.MustCompile(`(?m)^Objective value: +([-+.e\d]+)`)
	proven = regexp.MustCompile(`(?m)^Lower bound: +([-+.e\d]+)`)
)

// standing reads from the log of CBC 2.10 how it stood at times in rising
// order. Its result counts for all times that were still to come.
func standing(log string, at []float64) []stand {
	stands := make([]stand, 0, len(at))
	now := stand{"-", "-"}
	for line := range strings.Lines(log) {
		t := timed.FindStringSubmatch(line)
		if t == nil {
			continue
		}
		seconds, _ := strconv.ParseFloat(t[1], 64)
		for len(stands) < len(at) && at[len(stands)] < seconds {
			stands = append(stands, now)
		}
		if f := found.FindStringSubmatch(line); f != nil {
			now.total = f[1]
		}
		if n := nodes.FindStringSubmatch(line); n != nil {
			if now.bound = n[2]; !strings.HasPrefix(n[1], "1e+") {
				now.total = n[1]
			}
		}
	}
	if e := ended.FindStringSubmatch(log); e != nil {
		now = stand{e[1], e[1]}
		if p := proven.FindStringSubmatch(log); p != nil {
			now.bound = p[1]
		}
	}
	for len(stands) < len(at) {
		stands = append(stands, now)
	}
	return stands
}
