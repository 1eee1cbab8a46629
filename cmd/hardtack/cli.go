package main

import (
	"github.com/alecthomas/kong"
)

// cli is the command line. One file per command; each has an example in its
// help, and the example is run in a test.
type cli struct {
	DB   string `name:"db" help:"Where data are kept: a file, or postgres://… Default: $HARDTACK_DB, else a file in your data folder." placeholder:"FILE|URL"`
	JSON bool   `name:"json" help:"Write the result as JSON."`

	Plan   planCmd   `cmd:"" help:"Plan what to buy where, how much, and where to stow it."`
	Verify verifyCmd `cmd:"" help:"Check a plan against its brief."`
	Export exportCmd `cmd:"" help:"Write a brief as a model for other solvers."`
}

func grammar(c *cli, sh *shell) (*kong.Kong, error) {
	return kong.New(c,
		kong.Name("hardtack"),
		kong.Description("Victualling a yacht for a season: what to buy where, how much, and where to stow it.\n\n"+exitHelp()),
		kong.Writers(sh.out, sh.err),
		kong.Exit(func(code int) { panic(exited(code)) }),
		kong.ConfigureHelp(kong.HelpOptions{Compact: true, NoExpandSubcommands: true}),
		kong.Bind(sh),
	)
}
