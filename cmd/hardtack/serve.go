package main

import (
	"fmt"
	"net"

	"hardtack/api"
	"hardtack/api/rest"
)

// listening are the flags of commands that serve.
type listening struct {
	Listen string   `help:"Address to listen on." default:"127.0.0.1:8080" placeholder:"HOST:PORT"`
	Host   []string `help:"Names the server answers to, beside those of this machine." placeholder:"NAME"`
}

type serveCmd struct {
	listening
}

// Help implements kong's HelpProvider.
func (serveCmd) Help() string {
	return `Serves the JSON API under /v1, for this machine only unless --listen says
otherwise. Ctrl-C ends it; what was answered is kept.

Example:
  hardtack serve --listen 127.0.0.1:8080`
}

// Run serves until it is stopped.
func (c *serveCmd) Run(sh *shell) error {
	return sh.service(func(s *api.Service) error { return c.serve(sh, s) })
}

func (c *listening) serve(sh *shell, s *api.Service) error {
	l, err := net.Listen("tcp", c.Listen)
	if err != nil {
		return fmt.Errorf("%w: --listen %s: %w", errUsage, c.Listen, err)
	}
	sh.say("Serving http://%s/v1 – stop with Ctrl-C", l.Addr())
	return rest.Serve(sh.ctx, l, rest.New(s, rest.Options{
		Hosts: c.Host,
		Fault: func(method, path string, err error) { sh.say("%s %s: %v", method, path, err) },
	}))
}
