package main

import (
	"fmt"
	"io"
	"os"
	"strings"

	"hardtack/api"
	"hardtack/api/client"
	"hardtack/api/exchange"
	"hardtack/pricing/calendar"
)

type exchangeCmd struct {
	With  exchangeWithCmd  `cmd:"" default:"withargs" help:"Exchange with a server, or a boat alongside."`
	Write exchangeWriteCmd `cmd:"" help:"Write reports into a signed file, for mail or a stick."`
	Read  exchangeReadCmd  `cmd:"" help:"Take the reports of such a file."`
	State exchangeStateCmd `cmd:"" help:"Print the sum of all reports: two boats that know the same print the same."`
}

// Help implements kong's HelpProvider.
func (exchangeCmd) Help() string {
	return `Brings the reports entered here to a server and fetches others'. A link that
breaks loses nothing: call again, and it goes on where it was. Nothing but
reports leaves the boat: no route, no stores, no position.

Example:
  hardtack exchange write for-mail.records`
}

type exchangeWithCmd struct {
	URL    string   `arg:"" help:"Address of the server." placeholder:"URL"`
	Whole  bool     `help:"Everything known, both ways, as between boats that trust each other. Otherwise only what was entered here is brought."`
	Port   []string `help:"Fetch reports of these ports only, the next one first." placeholder:"ID"`
	Item   []string `help:"Fetch reports of these items only." placeholder:"ID"`
	Voyage string   `help:"Fetch what could change this voyage's plan, most valuable first." placeholder:"ID"`
	KB     int      `name:"kb" help:"Fetch at most so many kilobytes. Default: all there is." placeholder:"N"`
	calling
}

// calling are the settings of whoever calls on a server.
type calling struct {
	KeyFile string `setting:"" help:"File with the key of your account there. Default: the key in $HARDTACK_KEY." placeholder:"FILE"`
	Hold    int    `setting:"" help:"Bring no report younger than so many days: be gone before it is known where you were." placeholder:"DAYS"`
}

// Run exchanges.
func (c *exchangeWithCmd) Run(sh *shell) error {
	key, err := sh.key(c.KeyFile)
	if err != nil {
		return err
	}
	cl, err := client.New(c.URL, client.Options{Key: key})
	if err != nil {
		return err
	}
	defer cl.Close()
	return sh.service(func(s *api.Service) error {
		v := exchange.Visit{Whole: c.Whole, Budget: c.KB << 10, Told: func(d exchange.Done) {
			if terminal(sh.err) {
				fmt.Fprintf(sh.err, "\r%d brought, %d fetched ", d.Brought, d.Fetched)
			}
		}}
		if c.Hold > 0 {
			v.Hold = s.Today() - calendar.Day(c.Hold)
		}
		if v.Want, err = c.want(sh, s); err != nil {
			return err
		}
		done, err := cl.Exchange(sh.ctx, s, v)
		if err != nil {
			return fmt.Errorf("%w; %d brought and %d fetched before are kept, call again to go on", err, done.Brought, done.Fetched)
		}
		return sh.emit(done, func(w io.Writer) error { return describeExchange(w, done) })
	})
}

func (c *exchangeWithCmd) want(sh *shell, s *api.Service) (*exchange.Want, error) {
	if c.Voyage != "" {
		w, err := s.WantOf(sh.ctx, c.Voyage)
		return &w, err
	}
	if len(c.Port)+len(c.Item) == 0 {
		return nil, nil
	}
	return &exchange.Want{Ports: c.Port, Items: c.Item}, nil
}

// key is an account's key: from a file, else of the environment, so that it
// stands in no list of processes.
func (sh *shell) key(file string) (string, error) {
	if file == "" {
		return sh.getenv("HARDTACK_KEY"), nil
	}
	b, err := os.ReadFile(file)
	return strings.TrimSpace(string(b)), err
}

func describeExchange(w io.Writer, d exchange.Done) error {
	p := printer{w: w}
	p.f("%d brought, %d fetched.\n", d.Brought, d.Fetched)
	if d.More {
		p.f("There is more; the kilobytes are spent. Call again for it.\n")
	}
	for _, r := range d.Refused {
		p.f("Not taken: %s: %s\n", r.ID, r.Why)
	}
	if d.Late > 0 {
		p.f("%d of them are dated in the future; they are read as of today.\n", d.Late)
	}
	if off := d.ClockOff / 3600; off > 20 || off < -20 {
		p.f("The clocks differ by %d hours. Look at yours: reports are dated by it.\n", off)
	}
	if d.PutBack {
		p.f("The other one had been put back to an earlier state, and was told again.\n")
	}
	if d.Renamed {
		p.f("Another copy of this database is in use: this one goes by a name of its own now.\n")
	}
	return p.err
}

type exchangeWriteCmd struct {
	File string `arg:"" help:"File to write." placeholder:"FILE"`
	For  string `help:"Who gets it: the next file for the same one goes on after this. Default: everything, each time." placeholder:"NAME"`
	All  bool   `help:"Reports of others too, not only those entered here."`
}

// Run writes the file.
func (c *exchangeWriteCmd) Run(sh *shell) error {
	return sh.service(func(s *api.Service) error {
		var done api.Bundled
		err := sh.to(c.File, func(w io.Writer) (err error) {
			done, err = s.WriteBundle(sh.ctx, w, c.For, c.All)
			return err
		})
		if err != nil {
			return err
		}
		return sh.emit(done, func(w io.Writer) error {
			p := printer{w: w}
			p.f("%d reports in %s, signed by %s.\n", done.Records, c.File, done.Key)
			if done.More {
				p.f("The file is full: write another one with --for.\n")
			}
			return p.err
		})
	})
}

type exchangeReadCmd struct {
	File string `arg:"" help:"The file; - is standard input."`
}

// Run takes the file.
func (c *exchangeReadCmd) Run(sh *shell) error {
	return sh.service(func(s *api.Service) error {
		in, err := sh.open(c.File)
		if err != nil {
			return err
		}
		defer in.Close()
		done, file, err := s.ReadBundle(sh.ctx, in)
		if err != nil {
			return err
		}
		return sh.emit(done, func(w io.Writer) error {
			p := printer{w: w}
			p.f("%d reports, signed by %s; %d were known.\n", file.Records, file.Key, done.Doubled)
			if p.err != nil {
				return p.err
			}
			return describeExchange(w, done)
		})
	})
}

type exchangeStateCmd struct{}

// Run prints the sum.
func (exchangeStateCmd) Run(sh *shell) error {
	return sh.service(func(s *api.Service) error {
		sum, err := s.StateHash(sh.ctx)
		if err != nil {
			return err
		}
		return sh.emit(map[string]string{"sum": sum}, func(w io.Writer) error {
			_, err := fmt.Fprintln(w, sum)
			return err
		})
	})
}
