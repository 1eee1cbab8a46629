package main

import (
	"fmt"
	"io"

	"hardtack/api"
	"hardtack/pricing"
	"hardtack/pricing/calendar"
	"hardtack/route/logbook"
	"hardtack/route/pest"
)

type aboardNoteCmd struct {
	Kind   string       `arg:"" help:"water level, water filled, water made, rain, water lost, gas swap, gas filled, guests, ashore, temperature, passage, fridge off, pest, condition, wanted, plan, remark."`
	Amount float64      `arg:"" optional:"" help:"Litres, kilograms, person-days, °C, days or hours, as the kind has it."`
	Place  string       `help:"A locker, a space, a port." placeholder:"PLACE"`
	Item   string       `help:"Id of an item." placeholder:"ITEM"`
	Note   string       `help:"In words."`
	Day    calendar.Day `help:"The day; default today." placeholder:"DAY"`
}

// Run writes an entry into the log.
func (x *aboardNoteCmd) Run(c *cli, sh *shell) error {
	return sh.aboard(c, func(s *api.Service, id string) error {
		e, err := s.AddLog(sh.ctx, id, logbook.Entry{
			Day: x.Day, Kind: logbook.Kind(x.Kind), Amount: x.Amount, Place: x.Place, Item: pricing.ItemID(x.Item), Note: x.Note,
		})
		if err != nil {
			return err
		}
		return sh.emit(e, func(w io.Writer) error { return describeLog(w, []logbook.Entry{e}) })
	})
}

type aboardLogCmd struct {
	From calendar.Day `help:"From this day on." placeholder:"DAY"`
	To   calendar.Day `help:"Up to this day." placeholder:"DAY"`
}

// Run shows the log.
func (x *aboardLogCmd) Run(c *cli, sh *shell) error {
	return sh.aboard(c, func(s *api.Service, id string) error {
		log, err := s.Log(sh.ctx, id, x.From, x.To)
		if err != nil {
			return err
		}
		return sh.emit(log, func(w io.Writer) error { return describeLog(w, log) })
	})
}

func describeLog(w io.Writer, log []logbook.Entry) error {
	p := columns(w)
	if len(log) == 0 {
		p.f("Nothing is in the log. Write down exceptions only: \"hardtack aboard note\".\n")
	}
	for _, e := range log {
		amount := ""
		if e.Amount != 0 {
			amount = fmt.Sprintf("%g", e.Amount)
		}
		p.f("%s\t%s\t%s\t%s\t%s\t%s\n", e.Day, e.Kind, amount, e.Item, e.Place, e.Note)
	}
	return p.end()
}

type aboardPestsCmd struct {
	place
	Lot string `help:"A lot pests were found in: what to inspect beside it." placeholder:"ID"`
}

// Run says where pests threaten and what to do.
func (x *aboardPestsCmd) Run(c *cli, sh *shell) error {
	return sh.aboard(c, func(s *api.Service, id string) error {
		a, err := s.Pests(sh.ctx, id, x.Lot, x.where())
		if err != nil {
			return err
		}
		return sh.emit(a, func(w io.Writer) error {
			p := printer{w: w}
			describeRisks(&p, "INSPECT NOW", a.Neighbours)
			describeRisks(&p, "AT RISK", a.Risks)
			p.f("TREATMENT\n")
			for _, t := range a.Treatments {
				p.f("  %s: %s (%s, %s). %s\n", t.Name, t.How, t.Source, t.Evidence, t.Caution)
			}
			for _, h := range a.Hints {
				p.f("  %s\n", h)
			}
			p.f("%s\n", a.Bait)
			return p.err
		})
	})
}

func describeRisks(p *printer, title string, risks []pest.Risk) {
	if len(risks) == 0 {
		return
	}
	p.f("%s\n", title)
	for _, r := range risks {
		p.f("  %s in %s: %s; %s.\n", r.Name, r.Place, r.Why, r.Do)
	}
}
