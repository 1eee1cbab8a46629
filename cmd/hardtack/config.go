package main

import (
	"cmp"
	"fmt"
	"io"
	"slices"
	"strings"

	"github.com/alecthomas/kong"

	"hardtack/db"
)

type configCmd struct {
	listening
	sharing
	calling
}

// Help implements kong's HelpProvider.
func (configCmd) Help() string {
	return `Prints every setting as serve, share and exchange take it, and where it comes
from: a flag, a variable of the environment (HARDTACK_ and the flag's name), a
file, or the program itself, in that order. Secrets are not shown.

The file has a line for each, NAME: VALUE; it is the one --config names, else
HARDTACK_CONFIG, else config.yaml in the data folder, if there is one.

Example:
  hardtack config --listen :8080`
}

// setting is a setting as it is in force.
type setting struct {
	Name     string `json:"name"`
	Variable string `json:"variable"`
	Value    string `json:"value"`
	From     string `json:"from"`
}

// Run prints the settings.
func (*configCmd) Run(sh *shell, k *kong.Context, s *settings) error {
	var out []setting
	for _, f := range k.Flags() {
		if !isSetting(f) {
			continue
		}
		v := setting{f.Name, variable(f.Name), textOf(k.FlagValue(f)), "default"}
		switch {
		case s.from[f.Name] != "":
			v.From = s.from[f.Name]
		case slices.ContainsFunc(k.Path, func(p *kong.Path) bool { return p.Flag == f && !p.Resolved }):
			v.From = "flag"
		}
		if f.Name == "db" {
			where, err := sh.database()
			if err != nil {
				return err
			}
			v.Value = where
		}
		v.Value = db.Redact(v.Value)
		out = append(out, v)
	}
	for _, only := range []string{"HARDTACK_TODAY", "HARDTACK_KEY"} {
		if text := sh.getenv(only); text != "" {
			if only == "HARDTACK_KEY" {
				text = "***"
			}
			out = append(out, setting{"", only, text, "environment: " + only})
		}
	}
	return sh.emit(out, func(w io.Writer) error {
		p := columns(w)
		p.f("SETTING\tVALUE\tFROM\n")
		for _, v := range out {
			p.f("%s\t%s\t%s\n", cmp.Or(v.Name, v.Variable), v.Value, v.From)
		}
		return p.end()
	})
}

func textOf(v any) string {
	if list, ok := v.([]string); ok {
		return strings.Join(list, ",")
	}
	return fmt.Sprint(v)
}
