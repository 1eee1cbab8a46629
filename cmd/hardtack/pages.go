package main

import (
	"context"
	"errors"
	"io/fs"
	"net/http"
	"os"
	"path/filepath"
	"time"

	"hardtack/api"
	"hardtack/api/rest"
	"hardtack/api/web"
	"hardtack/db"
	"hardtack/seed"
)

// pagePlan is how long a page may look for a plan before it is shown: long
// enough for a good one, short enough to wait for.
var pagePlan = api.PlanOptions{Time: 3 * time.Second}

// handler is the API and the pages, one beside the other.
func (c *listening) handler(sh *shell, s *api.Service, o web.Options) http.Handler {
	fault := func(method, path string, err error) { sh.say("%s %s: %v", method, path, err) }
	o.Hosts, o.Plan, o.Fault = c.Host, pagePlan, fault
	own := rest.New(s, rest.Options{Hosts: c.Host, Fault: fault})
	mux := http.NewServeMux()
	for _, path := range []string{"/v1/", "/healthz", "/readyz"} {
		mux.Handle(path, own)
	}
	mux.Handle("/", web.New(s, o))
	return mux
}

// inventedSeason is the demo in a database of its own, beside somebody's data.
type inventedSeason struct {
	dir  string
	db   *db.DB
	stop func() // looking for a better plan
}

// open makes it, loads the season and plans it; a better plan comes later.
func (x *inventedSeason) open(ctx context.Context) (*api.Service, error) {
	w, err := api.LoadWorld(seed.FS)
	if err != nil {
		return nil, err
	}
	files, err := fs.Sub(seed.FS, "demo")
	if err != nil {
		return nil, err
	}
	if err := x.close(); err != nil { // what an attempt before left
		return nil, err
	}
	if x.dir, err = os.MkdirTemp("", "hardtack-demo-"); err != nil {
		return nil, err
	}
	if x.db, err = db.Open(ctx, filepath.Join(x.dir, "demo.db")); err != nil {
		return nil, err
	}
	s := api.New(x.db, w, api.Options{Now: func() time.Time { return demoToday }})
	id, err := s.LoadSeason(ctx, files)
	if err != nil {
		return nil, err
	}
	return s, x.plan(ctx, s, id)
}

// plan waits for a first good plan, and looks for a better one until it is stopped.
func (x *inventedSeason) plan(ctx context.Context, s *api.Service, voyage string) error {
	ctx, cancel := context.WithCancel(ctx)
	planned, over := make(chan error, 2), make(chan struct{})
	x.stop = func() { cancel(); <-over }
	go func() {
		defer close(over)
		_, err := s.Plan(ctx, voyage, api.PlanOptions{Early: true, Begun: func(api.Planned) { planned <- nil }})
		planned <- err // of no interest where there is a first plan
	}()
	return <-planned
}

func (x *inventedSeason) close() error {
	if x.stop != nil {
		x.stop()
	}
	var err error
	if x.db != nil {
		err = x.db.Close()
	}
	if x.dir != "" {
		err = errors.Join(err, os.RemoveAll(x.dir))
	}
	x.db, x.dir, x.stop = nil, "", nil
	return err
}
