package main

import (
	"fmt"
	"io"
	"slices"
	"strings"

	"hardtack/api"
	learned "hardtack/route/inventory/usage"
	"hardtack/route/vessel"
)

// sumOf takes "12.50 EUR" apart.
func sumOf(text string) (sum, currency string) {
	sum, currency, _ = strings.Cut(strings.TrimSpace(text), " ")
	return sum, strings.TrimSpace(currency)
}

type aboardLockersCmd struct {
	Show   lockersShowCmd   `cmd:"" default:"1" help:"Show the lockers."`
	Put    lockersPutCmd    `cmd:"" help:"Add or change a locker."`
	Remove lockersRemoveCmd `cmd:"" help:"Take a locker away; what lies there stays in its space."`
}

type lockersShowCmd struct{}

// Run shows the lockers.
func (lockersShowCmd) Run(c *cli, sh *shell) error {
	return sh.aboard(c, func(s *api.Service, id string) error {
		kept, err := s.Lockers(sh.ctx, id)
		if err != nil {
			return err
		}
		return sh.emit(kept, func(w io.Writer) error { return describeLockers(w, kept.Value) })
	})
}

func describeLockers(w io.Writer, lockers []vessel.Locker) error {
	p := columns(w)
	if len(lockers) == 0 {
		p.f("No locker is entered: things lie in spaces. \"hardtack aboard lockers put\" adds one.\n")
	}
	for _, l := range lockers {
		p.f("%s\tin %s\t%s\n", l.ID, l.Space, lockerWords(l))
	}
	return p.end()
}

func lockerWords(l vessel.Locker) string {
	var out []string
	if l.Litres > 0 {
		out = append(out, fmt.Sprintf("%.0f L", l.Litres))
	}
	if l.MaxKg > 0 {
		out = append(out, fmt.Sprintf("at most %.0f kg", l.MaxKg))
	}
	for _, x := range []struct {
		is   bool
		word string
	}{{l.Wet, "wet"}, {l.Hot, "hot"}, {l.AtSea, "reached at sea"}, {l.Low, "low"}, {l.Sealed, "can be sealed"}, {l.Side != "", string(l.Side)}} {
		if x.is {
			out = append(out, x.word)
		}
	}
	if l.TempC != nil {
		out = append(out, fmt.Sprintf("%.0f °C on %s", *l.TempC, l.ReadOn))
	}
	return strings.Join(out, ", ")
}

type lockersPutCmd struct {
	Name   string      `arg:"" help:"Name of the locker."`
	Space  string      `required:"" help:"The space it is part of." placeholder:"SPACE"`
	Litres float64     `help:"That can be filled." placeholder:"L"`
	MaxKg  float64     `name:"max-kg" help:"Most it bears." placeholder:"KG"`
	Wet    bool        `help:"Only bottles and plastic."`
	Hot    bool        `help:"Engine side or under the deck: no chocolate, oil, tins."`
	AtSea  bool        `help:"Can be reached under way."`
	Low    bool        `help:"Below the sole or the waterline."`
	Side   vessel.Side `help:"port or starboard." placeholder:"SIDE"`
	Sealed bool        `help:"An officer can seal it."`
	Temp   *float64    `help:"As read there, °C." placeholder:"C"`
}

// Run adds or changes a locker.
func (x *lockersPutCmd) Run(c *cli, sh *shell) error {
	return sh.changeLockers(c, func(s *api.Service, lockers []vessel.Locker) ([]vessel.Locker, error) {
		l := vessel.Locker{
			ID: x.Name, Space: x.Space, Litres: x.Litres, MaxKg: x.MaxKg, Wet: x.Wet, Hot: x.Hot, AtSea: x.AtSea, Low: x.Low,
			Side: x.Side, Sealed: x.Sealed, TempC: x.Temp,
		}
		if x.Temp != nil {
			l.ReadOn = s.Today().String()
		}
		k := slices.IndexFunc(lockers, func(o vessel.Locker) bool { return o.ID == l.ID })
		if k < 0 {
			return append(lockers, l), nil
		}
		lockers[k] = l
		return lockers, nil
	})
}

type lockersRemoveCmd struct {
	Name string `arg:"" help:"Name of the locker."`
}

// Run takes a locker away.
func (x *lockersRemoveCmd) Run(c *cli, sh *shell) error {
	return sh.changeLockers(c, func(_ *api.Service, lockers []vessel.Locker) ([]vessel.Locker, error) {
		left := slices.DeleteFunc(slices.Clone(lockers), func(o vessel.Locker) bool { return o.ID == x.Name })
		if len(left) == len(lockers) {
			return nil, fmt.Errorf("locker %q: %w; nothing was changed", x.Name, api.ErrNotFound)
		}
		return left, nil
	})
}

func (sh *shell) changeLockers(c *cli, change func(*api.Service, []vessel.Locker) ([]vessel.Locker, error)) error {
	return sh.aboard(c, func(s *api.Service, id string) error {
		kept, err := s.Lockers(sh.ctx, id)
		if err != nil {
			return err
		}
		lockers, err := change(s, kept.Value)
		if err != nil {
			return err
		}
		if kept, err = s.PutLockers(sh.ctx, id, lockers, kept.Revision); err != nil {
			return err
		}
		return sh.emit(kept, func(w io.Writer) error { return describeLockers(w, kept.Value) })
	})
}

type aboardUsageCmd struct {
	Crew       string  `help:"Whose; default the only crew." placeholder:"ID"`
	PersonDays float64 `help:"Of the season to come; default 100." placeholder:"N"`
}

// Run says what the crew uses.
func (x *aboardUsageCmd) Run(c *cli, sh *shell) error {
	return sh.aboard(c, func(s *api.Service, id string) error {
		used, err := s.Usage(sh.ctx, id, x.Crew, x.PersonDays)
		if err != nil {
			return err
		}
		return sh.emit(used, func(w io.Writer) error {
			if err := describeUsage(w, used.Learned); err != nil || used.Words == "" {
				return err
			}
			_, err := fmt.Fprintln(w, used.Words+".")
			return err
		})
	})
}

func describeUsage(w io.Writer, lines []learned.Line) error {
	p := printer{w: w}
	if len(lines) == 0 {
		p.f("Nothing is learned yet: count before and after a passage, and the list stands until then.\n")
	}
	for _, l := range lines {
		p.f("%s.\n", l.Words)
	}
	return p.err
}
