package main

import (
	"io"

	"hardtack/api"
)

// passage is which way water and gas are to last, as flags.
type passage struct {
	Days   float64 `help:"Days of the passage as planned; default the voyage's next leg." placeholder:"N"`
	Ocean  bool    `help:"With --days: an ocean passage, less sure than a coastal one."`
	Voyage string  `help:"Which voyage; default the only one." placeholder:"ID"`
	Crew   string  `help:"Who is aboard; default the only crew." placeholder:"ID"`
}

func (p passage) options() api.TankOptions {
	return api.TankOptions{Crew: p.Crew, Voyage: p.Voyage, Days: p.Days, Ocean: p.Ocean}
}

type aboardWaterCmd struct {
	passage
	Made float64 `help:"Litres a day of the watermaker to rely on; default none." placeholder:"L"`
}

// Run says how water stands.
func (x *aboardWaterCmd) Run(c *cli, sh *shell) error {
	return sh.aboard(c, func(s *api.Service, id string) error {
		o := x.options()
		o.Made = x.Made
		t, err := s.Water(sh.ctx, id, o)
		if err != nil {
			return err
		}
		return sh.emit(t, func(w io.Writer) error {
			p := printer{w: w}
			describeTank(&p, t, "%.0f", "%.1f")
			p.f("\nBleach for clear water, by the strength on its label; double for cloudy or very cold, stand 30 minutes:\n")
			for _, d := range t.Doses {
				p.f("  %s: %.0f drops a US gallon, %.1f a litre (%s)\n", d.Percent, d.PerGal, d.PerLitre, d.Source)
			}
			for _, n := range t.Needs {
				p.f("  %s: %g–%g %s (%s)\n", n.About, n.Low, n.High, n.Unit, n.Source)
			}
			return p.err
		})
	})
}

type aboardGasCmd struct{ passage }

// Run says how gas stands.
func (x *aboardGasCmd) Run(c *cli, sh *shell) error {
	return sh.aboard(c, func(s *api.Service, id string) error {
		t, err := s.Gas(sh.ctx, id, x.options())
		if err != nil {
			return err
		}
		return sh.emit(t, func(w io.Writer) error {
			p := printer{w: w}
			describeTank(&p, t, "%.1f", "%.3f")
			return p.err
		})
	})
}

// describeTank prints amounts by one format and rates by another.
func describeTank(p *printer, t api.Tank, amount, rate string) {
	p.f("%s\n", t.Caution)
	p.f("Aboard "+amount+" %s for %.0f people. We use "+rate+" ± "+rate+" %s a person and day", t.Aboard, t.Unit, t.People, t.Rate, t.SD, t.Unit)
	if t.Trips == 0 {
		p.f(" by the list: nothing was read yet.\n")
	} else {
		p.f(" as learned from %d stretches; the list says "+rate+".\n", t.Trips, t.List)
	}
	p.f("It lasts %.0f days as likely as not, %.0f days nine times in ten, %.0f days 99 times in a hundred.\n", t.Lasts50, t.Lasts90, t.Lasts99)
	for _, e := range t.Passage {
		p.f("A passage of %.0f days (%.0f in 100 take no longer) uses "+amount+" and leaves "+amount+" %s: enough with a chance of %.0f %%.\n",
			e.Days, 100*e.Chance, e.Uses, e.Left, t.Unit, 100*e.Enough)
	}
	for _, n := range t.Notes {
		p.f("  %s\n", n)
	}
}
