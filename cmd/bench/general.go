package main

import (
	"context"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"

	"hardtack/route/plan"
)

type generalCmd struct {
	Size    string    `default:"small" help:"tiny, small, season or big."`
	First   uint64    `default:"1" help:"First seed."`
	Seeds   uint64    `default:"1" help:"How many seeds."`
	Room    string    `enum:"both,loose,tight" default:"both" help:"both, loose or tight."`
	Seconds []float64 `default:"10,60,300" help:"Seconds computed after which it is noted what is found and proven; the run ends at the last."`
}

// Run prints what CBC has found and proven after each of the times.
func (c *generalCmd) Run(ctx context.Context) error {
	list, err := chosen(c.Size, c.First, c.Seeds, c.Room)
	if err != nil {
		return err
	}
	dir, remove, err := scratch()
	if err != nil {
		return err
	}
	defer remove()
	file := filepath.Join(dir, "brief.lp")
	limit := strconv.FormatFloat(c.Seconds[len(c.Seconds)-1], 'f', -1, 64)
	for _, o := range list {
		if err := writeModel(file, o.brief()); err != nil {
			return err
		}
		out, err := exec.CommandContext(ctx, "cbc", file, "timeMode", "cpu", "sec", limit, "ratio", "0.0001", "solve").CombinedOutput()
		var ended *exec.ExitError
		if errors.As(err, &ended) && ctx.Err() == nil { // now and then an assertion of its own fails
			fmt.Fprintf(os.Stderr, "%v: cbc ended by itself (%v); its last word counts for what was to come\n", o, err)
		} else if err != nil {
			return fmt.Errorf("cbc (Debian package coinor-cbc): %w", err)
		}
		for k, s := range standing(string(out), c.Seconds) {
			fmt.Printf("%v,cbc,%g,%s,%s\n", o, c.Seconds[k], s.total, s.bound)
		}
	}
	return nil
}

func writeModel(file string, b plan.Brief) error {
	f, err := os.Create(file)
	if err != nil {
		return err
	}
	if err := plan.WriteLP(f, b); err != nil {
		return err
	}
	return f.Close()
}
