package main

import (
	"context"
	"fmt"
	"os"
	"strings"

	"hardtack/route/plan"
)

type plansCmd struct {
	Size  string    `default:"season" help:"tiny, small, season or big."`
	First uint64    `default:"1" help:"First seed."`
	Seeds uint64    `default:"20" help:"How many seeds, each loose and tight."`
	Room  string    `enum:"both,loose,tight" default:"both" help:"both, loose or tight."`
	Times []float64 `default:"0.1,1,5" help:"Seconds computed after which the cost is noted; the search ends at the last."`
	Work  int       `default:"1000000000" help:"Budget of each solve; the times end it sooner."`
	Best  string    `default:"testdata/instances/best.csv" help:"Best totals known; better ones found are added."`
	Keep  bool      `help:"Write better totals to the file of best ones."`

	Workers int  `help:"Processors to plan on; 0 = all there are. The plan does not depend on it."`
	Wall    bool `help:"Seconds on the wall instead of seconds computed on all processors together."`
}

// Run prints a row per brief and, below, the means.
func (c *plansCmd) Run(ctx context.Context) error {
	list, err := chosen(c.Size, c.First, c.Seeds, c.Room)
	if err != nil {
		return err
	}
	known, err := readBest(c.Best)
	if err != nil {
		return err
	}
	fmt.Printf("| brief | first plan | %sbound | gap | best known | above it |\n|%s\n", heads(c.Times), strings.Repeat("---|", 6+len(c.Times)))
	worst, gaps, above := 0.0, 0.0, 0.0
	timer := clock
	if c.Wall {
		timer = wall
	}
	for _, o := range list {
		r, err := watch(ctx, o.brief(), plan.Budget{Work: c.Work, Workers: c.Workers}, timer, c.Times)
		if err != nil {
			return fmt.Errorf("%v: %w", o, err)
		}
		known.note(o.String(), r.last.Cost.Total, "hardtack, bench plans")
		best := known.total(o.String())
		off := r.last.Cost.Total/best - 1
		worst, gaps, above = max(worst, r.last.Gap), gaps+r.last.Gap, above+off
		fmt.Printf("| %v | %.2f in %.0f ms | %s%.2f | %.2f %% | %.2f | %.2f %% |\n", o, r.firstCost, r.first.Seconds()*1000,
			costs(r.at), r.last.Bound, 100*r.last.Gap, best, 100*off)
	}
	n := float64(len(list))
	fmt.Printf("\ngap: mean %.2f %%, worst %.2f %%; above the best known: mean %.2f %%\n", 100*gaps/n, 100*worst, 100*above/n)
	if c.Keep {
		return known.write(c.Best)
	}
	return nil
}

func heads(times []float64) string {
	text := ""
	for _, t := range times {
		text += fmt.Sprintf("%g s | ", t)
	}
	return text
}

// costs are the columns of cost against time, with a dash before there is a plan.
func costs(at []float64) string {
	text := ""
	for _, cost := range at {
		if cost == 0 {
			text += "– | "
			continue
		}
		text += fmt.Sprintf("%.2f | ", cost)
	}
	return text
}

// scratch is a folder that is removed afterwards.
func scratch() (string, func(), error) {
	dir, err := os.MkdirTemp("", "bench")
	return dir, func() { _ = os.RemoveAll(dir) }, err
}
