// Hardtack is for the person who victuals a sailing yacht for a season of
// passages: what was paid in which port becomes estimates, a route walked with
// them a plan, and the plan a shopping list for every stop.
package main

import (
	"context"
	"io"
	"os"
	"os/signal"
	"runtime/debug"
	"syscall"
)

func main() {
	if os.Getenv("GOGC") == "" {
		debug.SetGCPercent(little)
	}
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	code := run(ctx, os.Args[1:], os.Getenv, os.Stdin, os.Stdout, os.Stderr)
	stop()
	os.Exit(code)
}

// little is by how much memory may grow, in percent of what is in use, before it is
// looked through for what is not: a boat's computer has little, and planning takes
// three quarters of what it would with Go's own 100, in the same time.
const little = 50

// run is the whole program: the same arguments, environment and input give the
// same output. It returns the exit code, see exits.
func run(ctx context.Context, args []string, getenv func(string) string, stdin io.Reader, stdout, stderr io.Writer) (code int) {
	var c cli
	sh := &shell{ctx: ctx, getenv: getenv, in: stdin, out: stdout, err: stderr}
	defer func() {
		if e, ok := recover().(exited); ok { // kong leaves so after --help
			code = int(e)
		}
	}()
	p, err := grammar(&c, sh)
	if err != nil {
		return sh.fail(err)
	}
	k, err := p.Parse(args)
	if err != nil {
		return sh.fail(usage{err})
	}
	sh.json, sh.db = c.JSON, c.DB
	if err := k.Run(sh); err != nil {
		return sh.fail(err)
	}
	return exitOK
}
