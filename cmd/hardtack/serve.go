package main

import (
	"errors"
	"fmt"
	"net"

	"hardtack/api"
	"hardtack/api/rest"
	"hardtack/api/web"
)

// listening are the flags of commands that serve.
type listening struct {
	Listen string   `setting:"" help:"Address to listen on." default:"127.0.0.1:8080" placeholder:"HOST:PORT"`
	Host   []string `setting:"" help:"Names the server answers to, beside those of this machine." placeholder:"NAME"`
}

type serveCmd struct {
	listening
}

// Help implements kong's HelpProvider.
func (serveCmd) Help() string {
	return `Serves pages for a browser, and the JSON API under /v1, for this machine only
unless --listen says otherwise. Ctrl-C ends it; what was answered is kept.

For a phone in the boat's own network, listen on all addresses and name the
machine as the phone will: --listen :8080 --host 192.168.8.2. Whoever is in
that network can then read and change everything.

Example:
  hardtack serve --listen 127.0.0.1:8080`
}

// Run serves until it is stopped.
func (c *serveCmd) Run(sh *shell) error {
	return sh.service(func(s *api.Service) error {
		var demo inventedSeason
		return errors.Join(c.serve(sh, s, web.Options{Demo: demo.open}), demo.close())
	})
}

func (c *listening) serve(sh *shell, s *api.Service, o web.Options) error {
	l, err := c.open()
	if err != nil {
		return err
	}
	return c.serveOn(sh, l, s, o)
}

func (c *listening) open() (net.Listener, error) {
	l, err := net.Listen("tcp", c.Listen)
	if err != nil {
		return nil, fmt.Errorf("%w: --listen %s: %w", errUsage, c.Listen, err)
	}
	return l, nil
}

func (c *listening) serveOn(sh *shell, l net.Listener, s *api.Service, o web.Options) error {
	sh.say("Serving http://%s – stop with Ctrl-C", l.Addr())
	return rest.Serve(sh.ctx, l, c.handler(sh, s, o))
}
