package main

import (
	"context"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"

	"hardtack/route/plan"
)

type generalCmd struct {
	Size    string    `default:"small" help:"tiny, small, season or big."`
	Seed    uint64    `default:"1" help:"Seed of the brief."`
	Room    string    `enum:"loose,tight" default:"loose" help:"loose or tight."`
	Seconds []float64 `default:"10,60,300" help:"Time limits, one run each."`
}

// Run prints what CBC finds and proves within each time limit.
func (c *generalCmd) Run(ctx context.Context) error {
	list, err := chosen(c.Size, c.Seed, 1, c.Room)
	if err != nil {
		return err
	}
	dir, remove, err := scratch()
	if err != nil {
		return err
	}
	defer remove()
	file := filepath.Join(dir, "brief.lp")
	if err := writeModel(file, list[0].brief()); err != nil {
		return err
	}
	for _, s := range c.Seconds {
		out, err := exec.CommandContext(ctx, "cbc", file, "sec", strconv.FormatFloat(s, 'f', -1, 64), "ratio", "0.0001", "solve").CombinedOutput()
		if err != nil {
			return fmt.Errorf("cbc (Debian package coinor-cbc): %w: %s", err, out)
		}
		fmt.Printf("%v,cbc,%g,%s,%s\n", list[0], s, after(string(out), "Objective value:"), after(string(out), "Lower bound:"))
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

// after is the word that follows a label, or a dash.
func after(text, label string) string {
	_, rest, found := strings.Cut(text, label)
	words := strings.Fields(rest)
	if !found || len(words) == 0 {
		return "-"
	}
	return words[0]
}
