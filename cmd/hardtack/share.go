package main

import (
	"context"
	"errors"
	"fmt"
	"net"
	"net/http"
	"time"

	"hardtack/api"
	"hardtack/api/guard"
	"hardtack/api/public"
	"hardtack/api/rest"
	"hardtack/api/watch"
)

type shareCmd struct {
	listening
	sharing
}

// sharing are the settings of a server of many boats.
type sharing struct {
	Registration string        `setting:"" help:"Who may make an account: invitation, open or closed." enum:"invitation,open,closed" default:"invitation"`
	TwoFactors   string        `setting:"" help:"Of whom a code is asked beside the password: by-wish, moderators or everybody who has one." enum:"by-wish,moderators,everybody" default:"moderators"`
	LoginQuiet   time.Duration `setting:"" help:"A login not used for so long ends; it ends after 12 h anyway." default:"1h"`
	LoginMost    int           `setting:"" help:"Logins of one account at once; one more ends the one quiet longest." default:"5"`
	Enough       int           `setting:"" help:"Accounts that must have reported from a port's month before it is told to everybody." default:"3"`
	Delay        int           `setting:"" help:"Days after the month before it is told." default:"7"`
	Every        time.Duration `setting:"" help:"How often to look what is to be told." default:"10m"`
	Proxy        []string      `setting:"" help:"Addresses or networks of the proxies in front, whose X-Forwarded-For says who calls." placeholder:"ADDRESS"`
	Metrics      string        `setting:"" help:"Address for figures in the format of Prometheus; default: none." placeholder:"HOST:PORT"`
	Replica      string        `setting:"" help:"A PostgreSQL replica of the database, to read from what may be some moments old." placeholder:"URL"`
	Drain        time.Duration `setting:"" help:"How long to go on answering, and not be ready, when asked to stop: a proxy sees it and sends calls elsewhere." default:"5s"`
}

// Help implements kong's HelpProvider.
func (shareCmd) Help() string {
	return `Serves one set of reports to many boats: each calls with a key of its account,
brings its reports and fetches what is told to everybody. No voyage, plan or
locker is served. Put a proxy that speaks TLS in front. Several processes may
share one PostgreSQL.

Every flag may also be set by the environment or a file: see "hardtack config".

Example:
  hardtack share --listen 127.0.0.1:8080 --metrics 127.0.0.1:9090`
}

// Run serves until it is stopped.
func (c *shareCmd) Run(sh *shell) error {
	if c.Enough < 1 || c.Delay < 0 || c.Every < time.Second || c.Drain < 0 || c.LoginMost < 1 || c.LoginQuiet < time.Minute {
		return fmt.Errorf("%w: --enough and --login-most 1 or more, --delay and --drain 0 or more, --every 1s or more, --login-quiet 1m or more", errUsage)
	}
	proxies, err := guard.ParseProxies(c.Proxy)
	if err != nil {
		return fmt.Errorf("%w: --proxy: %w", errUsage, err)
	}
	where, err := sh.database()
	if err != nil {
		return err
	}
	now, err := sh.clock()
	if err != nil {
		return err
	}
	log := watch.New(watch.Lines(sh.err))
	logins := api.Logins{Quiet: c.LoginQuiet, Most: c.LoginMost, Two: api.TwoFactors(c.TwoFactors)}
	return sh.serviceBeside(where, c.Replica, api.Options{Now: now, Public: true, Logins: logins}, func(s *api.Service) error { return c.share(sh, s, proxies, log) })
}

func (c *shareCmd) share(sh *shell, s *api.Service, proxies guard.Proxies, log *watch.Watch) error {
	l, err := net.Listen("tcp", c.Listen)
	if err != nil {
		return fmt.Errorf("%w: --listen %s: %w", errUsage, c.Listen, err)
	}
	if walled, err := s.Walled(sh.ctx); err == nil && !walled {
		log.Unwalled()
	}
	ctx, stop := context.WithCancel(context.WithoutCancel(sh.ctx))
	defer stop()
	handler := rest.New(s, rest.Options{
		Hosts: c.Host, Proxies: proxies, Fault: log.Fault, Seen: log.Seen, Shared: &rest.Shared{Registration: api.Registration(c.Registration)},
		Leaving: func() bool { return sh.ctx.Err() != nil },
	})
	works := []func() error{
		func() error { return rest.Serve(ctx, l, log.UnderWay(handler)) },
		func() error { return c.publish(ctx, s, log) },
		func() error { return c.leave(ctx, sh.ctx, log) },
	}
	if c.Metrics != "" {
		m, err := net.Listen("tcp", c.Metrics)
		if err != nil {
			return errors.Join(fmt.Errorf("%w: --metrics %s: %w", errUsage, c.Metrics, err), l.Close())
		}
		log.Database(s.Pool)
		mux := http.NewServeMux()
		mux.Handle("/metrics", log.Handler())
		works = append(works, func() error { return rest.Serve(ctx, m, mux) })
	}
	sh.say(`{"msg":"serving","address":%q}`, l.Addr())
	return together(stop, works)
}

// leave ends when the server was asked to stop and has gone on answering for a
// while, so that whoever sends it calls has seen that it will not be there.
func (c *shareCmd) leave(ctx, asked context.Context, log *watch.Watch) error {
	select {
	case <-asked.Done():
		log.Leaving(c.Drain)
	case <-ctx.Done():
		return nil
	}
	select {
	case <-time.After(c.Drain):
	case <-ctx.Done():
	}
	return nil
}

// together runs works until all have ended; the first that ends stops the
// others.
func together(stop func(), works []func() error) error {
	ended := make(chan error, len(works))
	for _, w := range works {
		go func() { ended <- w() }()
	}
	var errs []error
	for range works {
		errs = append(errs, <-ended)
		stop()
	}
	return errors.Join(errs...)
}

// publish looks from time to time what is to be told to everybody. Of several
// processes one does.
func (c *shareCmd) publish(ctx context.Context, s *api.Service, log *watch.Watch) error {
	rule := public.Rule{Delay: c.Delay, Enough: c.Enough, Age: public.Usual.Age}
	t := time.NewTicker(c.Every)
	defer t.Stop()
	for {
		begin := time.Now()
		told, back, err := s.PublishAlone(ctx, rule)
		if ctx.Err() != nil {
			return nil
		}
		log.Published(told, back, time.Since(begin), err)
		select {
		case <-ctx.Done():
			return nil
		case <-t.C:
		}
	}
}
