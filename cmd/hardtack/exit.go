package main

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"strings"

	"hardtack/api"
	"hardtack/api/client"
	"hardtack/api/exchange"
	"hardtack/db"
	"hardtack/pricing/dataset"
	"hardtack/route/plan"
)

// The exit codes are part of the interface. A script may rely on them.
const (
	exitOK       = 0
	exitFault    = 1 // a fault of the program or the machine
	exitUsage    = 2 // bad arguments or bad input; nothing was changed
	exitRejected = 3 // some rows were rejected, the others were taken
	exitRefused  = 4 // the file was refused as a whole; nothing was changed
	exitBroken   = 5 // the plan breaks the brief's rules
	exitNotFound = 6
	exitConflict = 7 // the id is taken with other content; nothing was changed
	exitSchema   = 8 // the database is older or newer than the program
	exitWrong    = 9 // doctor found something to see to
	exitStopped  = 130
)

// exits lists them for help and README.
var exits = []struct {
	code int
	what string
}{
	{exitOK, "done"},
	{exitFault, "a fault of the program or the machine"},
	{exitUsage, "bad arguments or bad input; nothing was changed"},
	{exitRejected, "some rows were rejected, the others were taken"},
	{exitRefused, "the file was refused as a whole; nothing was changed"},
	{exitBroken, "the plan breaks the brief's rules"},
	{exitNotFound, "no such thing"},
	{exitConflict, "the id is taken with other content; nothing was changed"},
	{exitSchema, "the database is older or newer than the program: hardtack migrate"},
	{exitWrong, "doctor found something to see to"},
	{exitStopped, "stopped from the keyboard"},
}

// What commands add to the kinds of the packages below.
var (
	errUsage    = errors.New("bad input")
	errRejected = errors.New("some rows were rejected")
	errRefused  = errors.New("file refused")
	errBroken   = errors.New("the plan breaks the brief's rules")
	errWrong    = errors.New("things to see to")
)

// usage is what kong says of arguments.
type usage struct{ error }

func (u usage) Is(target error) bool { return target == errUsage }
func (u usage) Unwrap() error        { return u.error }

// exited carries kong's exit out of a parse.
type exited int

// kinds turns error kinds into exit codes; the first that matches holds.
var kinds = []struct {
	kind error
	code int
}{
	{context.Canceled, exitStopped},
	{errRejected, exitRejected},
	{errRefused, exitRefused},
	{plan.ErrMalformed, exitRefused},
	{errBroken, exitBroken},
	{errWrong, exitWrong},
	{errUsage, exitUsage},
	{dataset.ErrRefused, exitRefused},
	{exchange.ErrUnreadable, exitRefused},
	{exchange.ErrForged, exitRefused},
	{api.ErrStranger, exitRefused},
	{api.ErrDenied, exitUsage},
	{api.ErrCode, exitUsage},
	{client.ErrAddress, exitUsage},
	{api.ErrInvalid, exitUsage},
	{api.ErrNotFound, exitNotFound},
	{api.ErrConflict, exitConflict},
	{api.ErrStale, exitConflict},
	{api.ErrSchema, exitSchema},
	{db.ErrDamaged, exitRefused},
	{db.ErrInvalid, exitUsage},
	{fs.ErrNotExist, exitUsage},
}

func codeOf(err error) int {
	for _, k := range kinds {
		if errors.Is(err, k.kind) {
			return k.code
		}
	}
	return exitFault
}

// fail says what was wrong on standard error and gives the exit code.
func (sh *shell) fail(err error) int {
	fmt.Fprintf(sh.err, "hardtack: %s\n", strings.TrimSpace(err.Error()))
	return codeOf(err)
}

func exitHelp() string {
	var b strings.Builder
	b.WriteString("Exit codes:")
	for _, e := range exits {
		fmt.Fprintf(&b, "\n  %d  %s", e.code, e.what)
	}
	return b.String()
}
