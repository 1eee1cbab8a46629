package main

import (
	"github.com/alecthomas/kong"
)

// cli is the command line. One file per command; each has an example in its
// help, and the example is run in a test.
type cli struct {
	DB   string `name:"db" setting:"" help:"Where data are kept: a file, or postgres://… Default: $HARDTACK_DB, else a file in your data folder." placeholder:"FILE|URL"`
	File string `name:"config" help:"File of settings. Default: $HARDTACK_CONFIG, else config.yaml in your data folder." placeholder:"FILE"`
	JSON bool   `name:"json" help:"Write the result as JSON."`

	Demo       demoCmd       `cmd:"" help:"Plan an invented season, print it and serve it."`
	Serve      serveCmd      `cmd:"" help:"Serve pages and the JSON API."`
	Share      shareCmd      `cmd:"" help:"Serve one set of reports to many boats."`
	Vessel     vesselCmd     `cmd:"" help:"Enter, show and change a boat."`
	Crew       crewCmd       `cmd:"" help:"Enter, show and change who is aboard when."`
	Voyage     voyageCmd     `cmd:"" help:"Enter, show and change a voyage and how it is planned."`
	Aboard     aboardCmd     `cmd:"" help:"Enter, show and change what is in the lockers."`
	Plan       planCmd       `cmd:"" help:"Plan what to buy where, how much, and where to stow it."`
	Replan     replanCmd     `cmd:"" help:"Plan the rest of a voyage anew, near the last plan, and say what changes."`
	Binds      bindsCmd      `cmd:"" help:"Say what limits a plan, and what one more litre, kilogram or day would save."`
	Risk       riskCmd       `cmd:"" help:"Say what may run short, how often, and what to do about it."`
	List       listCmd       `cmd:"" help:"Print the shopping lists of a plan."`
	Fed        fedCmd        `cmd:"" help:"Set the plan's energy and protein beside the crew's need, and say whose label to read."`
	Ahead      aheadCmd      `cmd:"" help:"Say where ahead a thing is sold."`
	Worth      worthCmd      `cmd:"" help:"Say up to which price a thing is worth buying rather than waiting."`
	Shelf      shelfCmd      `cmd:"" help:"Say up to which price how many to take, and what a real price changes."`
	Scale      scaleCmd      `cmd:"" help:"Turn a stores list into one for any crew and days."`
	Report     reportCmd     `cmd:"" help:"Report what things cost."`
	Import     importCmd     `cmd:"" help:"Take reports from a CSV file."`
	Config     configCmd     `cmd:"" help:"Print every setting and where it comes from."`
	Account    accountCmd    `cmd:"" help:"Add, invite and end accounts of a shared server."`
	Exchange   exchangeCmd   `cmd:"" help:"Exchange reports with a server or another boat, or by file."`
	Estimate   estimateCmd   `cmd:"" help:"Say what is believed of prices."`
	Invent     inventCmd     `cmd:"" help:"Invent a world of prices, to try estimates on."`
	News       newsCmd       `cmd:"" help:"Say which prices have changed since a day."`
	Publish    publishCmd    `cmd:"" help:"Write what a shared server tells everybody as open data."`
	Ports      portsCmd      `cmd:"" help:"Find ports."`
	Items      itemsCmd      `cmd:"" help:"Find items."`
	Brief      briefCmd      `cmd:"" help:"Print the brief of a voyage."`
	Verify     verifyCmd     `cmd:"" help:"Check a plan against its brief."`
	Export     exportCmd     `cmd:"" help:"Write a brief as a model for other solvers."`
	Backup     backupCmd     `cmd:"" help:"Back everything up, or restore it."`
	Doctor     doctorCmd     `cmd:"" help:"Say what is wrong with the database, and what to do."`
	Recover    recoverCmd    `cmd:"" help:"Save what can be read of a damaged database."`
	Version    versionCmd    `cmd:"" help:"Say which version this is."`
	Completion completionCmd `cmd:"" help:"Write what a shell needs to complete commands."`
	Manual     manualCmd     `cmd:"" help:"Write the manual page."`
	Migrate    migrateCmd    `cmd:"" help:"Bring a database to this program's schema."`
}

func grammar(c *cli, sh *shell) (*kong.Kong, error) {
	s := &settings{sh: sh, from: map[string]string{}}
	return kong.New(c,
		kong.Resolvers(s),
		kong.Name("hardtack"),
		kong.Description("Victualling a yacht for a season: what to buy where, how much, and where to stow it.\n\n"+exitHelp()),
		kong.Writers(sh.out, sh.err),
		kong.Exit(func(code int) { panic(exited(code)) }),
		kong.ConfigureHelp(kong.HelpOptions{Compact: true, NoExpandSubcommands: true}),
		kong.Bind(c, sh, s),
	)
}
