package main

import (
	_ "embed"
	"io"
	"runtime"
	"runtime/debug"
	"strings"

	"hardtack/db"
)

// history says what each version brought, the newest first; its first heading
// names this program's version.
//
//go:embed changes.md
var history string

// version is this program's: the same from every build of the same source.
func version() string {
	_, rest, _ := strings.Cut(history, "## ")
	v, _, _ := strings.Cut(rest, " ")
	return v
}

type versionCmd struct {
	Changes bool `help:"Say what each version brought."`
}

// Help implements kong's HelpProvider.
func (versionCmd) Help() string {
	return `Says which version this is and which schema it needs.

Example:
  hardtack version --changes`
}

// about is what version tells.
type about struct {
	Version  string `json:"version"`
	Schema   uint   `json:"schema"`
	Revision string `json:"revision,omitempty"`
	Go       string `json:"go"`
	Platform string `json:"platform"`
	Changes  string `json:"changes,omitempty"`
}

// Run prints it.
func (c *versionCmd) Run(sh *shell) error {
	a := about{Version: version(), Schema: db.Newest, Go: runtime.Version(), Platform: runtime.GOOS + "/" + runtime.GOARCH}
	if info, ok := debug.ReadBuildInfo(); ok {
		for _, s := range info.Settings {
			if s.Key == "vcs.revision" {
				a.Revision = s.Value
			}
		}
	}
	if c.Changes {
		a.Changes = history
	}
	return sh.emit(a, func(w io.Writer) error {
		p := printer{w: w}
		p.f("hardtack %s, schema %d, %s, %s\n", a.Version, a.Schema, a.Go, a.Platform)
		if a.Changes != "" {
			p.f("\n%s", a.Changes)
		}
		return p.err
	})
}
