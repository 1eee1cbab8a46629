package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"time"

	"hardtack/api"
	"hardtack/api/web"
	"hardtack/route/plan"
	"hardtack/seed"
)

// demoToday is the demo's fixed today: noon of the day its voyage begins.
var demoToday = time.Date(2026, time.September, 5, 12, 0, 0, 0, time.UTC)

type demoCmd struct {
	listening
	NoServe bool   `help:"Stop after printing."`
	Out     string `short:"o" help:"Leave brief.json, plan.json, plan.txt and the lists (text, JSON, a page for the phone) in this folder." placeholder:"DIR"`
	Work    int    `help:"How long to search, in schedules tried; 0 is the usual few seconds." default:"0"`
}

// Help implements kong's HelpProvider.
func (demoCmd) Help() string {
	return `Plans an invented season in the North Atlantic: loads its boat, crew and 3,000
reports into a database of its own, plans, prints the plan and the first shopping
list, and serves it: a first good plan at once, the best as soon as it is found.
Boat, people, shops and prices are invented. It has a fixed today, so its figures
are the same in ten years.

Example:
  hardtack demo --no-serve`
}

// Run loads, plans, prints and serves the demo season.
func (c *demoCmd) Run(sh *shell) error {
	where, err := sh.demoDatabase()
	if err != nil {
		return err
	}
	files, err := fs.Sub(seed.FS, "demo")
	if err != nil {
		return err
	}
	return sh.serviceAt(where, api.Options{Now: func() time.Time { return demoToday }}, func(s *api.Service) error {
		go s.World().Coast() // wanted in a moment, and long to read
		id, err := s.LoadSeason(sh.ctx, files)
		if err != nil {
			return err
		}
		if c.NoServe {
			return c.plan(sh, s, id, func() {})
		}
		return c.planServing(sh, s, id)
	})
}

// plan shows a good plan in a line as soon as there is one, and the best in
// full. It says when there is something to look at.
func (c *demoCmd) plan(sh *shell, s *api.Service, voyage string, begun func()) error {
	p, err := sh.planVoyage(s, voyage, api.PlanOptions{
		Budget: plan.Budget{Work: c.Work}, Early: true, Begun: func(api.Planned) { begun() },
	})
	if errors.Is(err, api.ErrStale) {
		sh.say("%v", err)
		return nil
	}
	if err != nil {
		return err
	}
	return c.show(sh, s, p)
}

// planServing serves the first good plan while a better one is looked for.
func (c *demoCmd) planServing(sh *shell, s *api.Service, voyage string) error {
	l, err := c.open()
	if err != nil {
		return err
	}
	ctx, stop := context.WithCancel(sh.ctx)
	defer stop()
	both := *sh
	both.ctx = ctx
	looking, planned := make(chan struct{}), make(chan error, 1)
	begun := sync.OnceFunc(func() { close(looking) })
	go func() {
		err := c.plan(&both, s, voyage, begun)
		if err != nil {
			stop()
		}
		planned <- err
		begun()
	}()
	<-looking
	err = c.serveOn(&both, l, s, web.Options{Invented: true})
	stop()
	return errors.Join(err, <-planned)
}

func (c *demoCmd) show(sh *shell, s *api.Service, p api.Planned) error {
	lists, err := s.ListOf(p, api.EveryStop)
	if err != nil {
		return err
	}
	if c.Out != "" {
		if err := sh.leave(c.Out, p, lists.WriteText, lists.WriteHTML, jsonOf(lists)); err != nil {
			return err
		}
	}
	return sh.emit(p, func(w io.Writer) error {
		if err := describePlan(w, p); err != nil {
			return err
		}
		if len(lists.Lists) == 0 {
			return nil
		}
		if _, err := fmt.Fprintf(w, "\nThe first of %d shopping lists:\n\n", len(lists.Lists)); err != nil {
			return err
		}
		return lists.Lists[0].WriteText(w)
	})
}

// leave writes the demo's documents into a folder.
func (sh *shell) leave(dir string, p api.Planned, text, page, lists func(io.Writer) error) error {
	if err := os.MkdirAll(dir, 0o755); err != nil {
		return err
	}
	for _, f := range []struct {
		name  string
		write func(io.Writer) error
	}{
		{"brief.json", jsonOf(p.Brief)}, {"plan.json", jsonOf(p.Plan)},
		{"plan.txt", func(w io.Writer) error { return describePlan(w, p) }},
		{"lists.txt", text}, {"lists.html", page}, {"lists.json", lists},
	} {
		if err := sh.to(filepath.Join(dir, f.name), f.write); err != nil {
			return err
		}
	}
	return nil
}

// demoDatabase is a file of the demo's own, new each time: invented reports
// never come near a user's data.
func (sh *shell) demoDatabase() (string, error) {
	if sh.db != "" {
		if strings.Contains(sh.db, "://") {
			return "", fmt.Errorf("%w: the demo keeps a file of its own, not %s", errUsage, sh.db)
		}
		if _, err := os.Stat(sh.db); !errors.Is(err, fs.ErrNotExist) {
			return "", fmt.Errorf("%w: %s is there already: the demo never touches a database in use; name a new file", errUsage, sh.db)
		}
		return sh.db, nil
	}
	dir, err := sh.dataDir()
	if err == nil {
		err = os.MkdirAll(dir, 0o700)
	}
	if err != nil {
		if dir, err = os.MkdirTemp("", "hardtack-demo-"); err != nil {
			return "", err
		}
	}
	file := filepath.Join(dir, "demo.db")
	for _, name := range []string{file, file + "-wal", file + "-shm"} {
		if err := os.Remove(name); err != nil && !errors.Is(err, fs.ErrNotExist) {
			return "", err
		}
	}
	return file, nil
}
