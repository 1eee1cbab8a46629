package main

import (
	"fmt"
	"strings"

	"github.com/alecthomas/kong"
)

type completionCmd struct {
	Shell string `arg:"" enum:"bash,zsh,fish" help:"bash, zsh or fish."`
}

// Help implements kong's HelpProvider.
func (completionCmd) Help() string {
	return `Writes what a shell needs to complete commands and flags with the tab key. For
bash, put it into ~/.local/share/bash-completion/completions/hardtack; for zsh,
into a file _hardtack in a folder of $fpath; for fish, into
~/.config/fish/completions/hardtack.fish.

Example:
  hardtack completion bash`
}

// Run writes the script.
func (c *completionCmd) Run(sh *shell, app *kong.Kong) error {
	p := printer{w: sh.out}
	all := append([]node{{app.Model.Node, ""}}, commands(app.Model.Node, "")...)
	switch c.Shell {
	case "bash":
		bash(&p, all, app.Model.Flags)
	case "zsh":
		p.f("#compdef hardtack\nautoload -U +X bashcompinit && bashcompinit\n")
		bash(&p, all, app.Model.Flags)
	case "fish":
		fish(&p, all)
	}
	return p.err
}

// bash finds the command typed so far and offers what may follow it: commands,
// flags once a dash is typed, else files.
func bash(p *printer, all []node, global []*kong.Flag) {
	p.f("_hardtack() {\n\tlocal path=\"\" word words=\"\" flags=\"\" cur=${COMP_WORDS[COMP_CWORD]}\n")
	p.f("\tfor word in \"${COMP_WORDS[@]:1:COMP_CWORD-1}\"; do\n\t\tcase \"$path $word\" in\n\t\t%s) path=\"$path $word\" ;;\n\t\tesac\n\tdone\n", patterns(all))
	p.f("\tcase \"$path\" in\n")
	for _, n := range all {
		p.f("\t\"%s\") words=%q flags=%q ;;\n", lead(n.path), strings.Join(wordsAfter(n), " "), strings.Join(flagsOf(n, global), " "))
	}
	p.f("\tesac\n\tcase \"$cur\" in\n\t-*) COMPREPLY=($(compgen -W \"$flags\" -- \"$cur\")) ;;\n")
	p.f("\t*) COMPREPLY=($(compgen -W \"$words\" -- \"$cur\")); [ -n \"${COMPREPLY[*]}\" ] || COMPREPLY=($(compgen -f -- \"$cur\")) ;;\n\tesac\n}\n")
	p.f("complete -o filenames -F _hardtack hardtack\n")
}

func lead(path string) string {
	if path == "" {
		return ""
	}
	return " " + path
}

func patterns(all []node) string {
	var out []string
	for _, n := range all[1:] {
		out = append(out, `"`+lead(n.path)+`"`)
	}
	return strings.Join(out, "|")
}

// wordsAfter are what may follow a command: its commands, and words of a fixed set.
func wordsAfter(n node) (out []string) {
	for _, c := range n.Children {
		if !c.Hidden && c.Type == kong.CommandNode {
			out = append(out, c.Name)
		}
	}
	for _, p := range n.Positional {
		for word := range strings.SplitSeq(p.Enum, ",") {
			if word != "" {
				out = append(out, word)
			}
		}
	}
	return out
}

func flagsOf(n node, global []*kong.Flag) (out []string) {
	flags := n.Flags
	if n.path != "" {
		flags = append(flags[:len(flags):len(flags)], global...)
	}
	for _, f := range flags {
		if !f.Hidden {
			out = append(out, "--"+f.Name)
		}
	}
	return out
}

func fish(p *printer, all []node) {
	for _, n := range all {
		when := "__fish_use_subcommand"
		if n.path != "" {
			when = "__fish_seen_subcommand_from " + lastOf(n.path)
		}
		for _, c := range n.Children {
			if !c.Hidden && c.Type == kong.CommandNode {
				p.f("complete -c hardtack -n %s -a %s -d %s\n", fishQuote(when), c.Name, fishQuote(c.Help))
			}
		}
		for _, f := range n.Flags {
			if f.Hidden {
				continue
			}
			needs := ""
			if !f.IsBool() {
				needs = " -r"
			}
			if n.path == "" {
				p.f("complete -c hardtack -l %s%s -d %s\n", f.Name, needs, fishQuote(f.Help))
			} else {
				p.f("complete -c hardtack -n %s -l %s%s -d %s\n", fishQuote(when), f.Name, needs, fishQuote(f.Help))
			}
		}
	}
}

func lastOf(path string) string { return path[strings.LastIndex(path, " ")+1:] }

func fishQuote(s string) string {
	return fmt.Sprintf("'%s'", strings.NewReplacer(`\`, `\\`, "'", `\'`).Replace(s))
}
