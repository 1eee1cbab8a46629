package main

import (
	"fmt"
	"io"

	"hardtack/api"
	"hardtack/pricing"
	"hardtack/pricing/calendar"
	"hardtack/route"
	"hardtack/route/brief"
)

type voyageCmd struct {
	Show     voyageShowCmd     `cmd:"" default:"withargs" help:"Show a voyage with dates, distances and doubts, or list them all."`
	Set      voyageSetCmd      `cmd:"" help:"Keep the voyage of a JSON file, in place of the one with its id."`
	GPX      voyageGPXCmd      `cmd:"" name:"gpx" help:"Read a GPX route into a voyage to look at, edit and set."`
	Settings voyageSettingsCmd `cmd:"" help:"Show or keep how a voyage is planned: vessel, crew, options, wishes."`
	Wish     voyageWishCmd     `cmd:"" help:"Wish for so much of an item at a port, or never for it."`
	Delete   voyageDeleteCmd   `cmd:"" help:"Take a voyage away, with its settings and plan."`
}

// Help implements kong's HelpProvider.
func (voyageCmd) Help() string {
	return `A voyage is its stops, with dates fixed or from distance and speed. Distances go
around a coarse coastline: not for navigation.

Example:
  hardtack voyage set voyage.json`
}

type voyageShowCmd struct {
	ID string `arg:"" optional:"" help:"The voyage; default the only one."`
}

// Run shows one voyage, or lists several.
func (c *voyageShowCmd) Run(sh *shell) error {
	return sh.service(func(s *api.Service) error {
		all, err := s.Voyages(sh.ctx)
		if err != nil {
			return err
		}
		if c.ID == "" && len(all) != 1 {
			return overview(sh, all, `No voyage is kept yet: enter one with "hardtack voyage set FILE".`,
				func(v route.Voyage) string { return fmt.Sprintf("%s  %s, %d stops", v.ID, v.Name, len(v.Stops)) })
		}
		id, err := sh.voyageOf(s, c.ID)
		if err != nil {
			return err
		}
		return sh.emitVoyage(s, id)
	})
}

func (sh *shell) emitVoyage(s *api.Service, id string) error {
	it, err := s.Itinerary(sh.ctx, id)
	if err != nil {
		return err
	}
	return sh.emit(it, func(w io.Writer) error { return describeVoyage(w, it) })
}

func describeVoyage(w io.Writer, it route.Itinerary) error {
	p := columns(w)
	p.f("%s\n", it.Name)
	for i, c := range it.Calls {
		p.f("%d\t%s\t%s to %s\t", i, c.Port, it.Start+calendar.Day(c.Arrive), it.Start+calendar.Day(c.Depart))
		if i < len(it.Ways) {
			x := it.Ways[i]
			p.f("%.0f nm\t%.1f days, nine in ten under %.1f", x.DistanceNM, x.MedianDays, x.Days90)
		}
		p.f("\n")
	}
	if err := p.end(); err != nil {
		return err
	}
	notes := printer{w: w}
	for _, n := range it.Notes {
		notes.f("- %s\n", n)
	}
	return notes.err
}

type voyageSetCmd struct {
	File string `arg:"" help:"A JSON file; - is standard input."`
}

// Run keeps the voyage.
func (c *voyageSetCmd) Run(sh *shell) error {
	v, err := readJSON[route.Voyage](sh, c.File)
	if err != nil {
		return err
	}
	return sh.service(func(s *api.Service) error {
		if _, err := s.PutVoyage(sh.ctx, v, api.AnyRevision); err != nil {
			return err
		}
		return sh.emitVoyage(s, v.ID)
	})
}

type voyageGPXCmd struct {
	File string `arg:"" help:"A GPX file; - is standard input."`
	Out  string `short:"o" help:"File to write; default standard output." placeholder:"FILE"`
}

// Run reads the route. Nothing is kept: the skipper looks at it first.
func (c *voyageGPXCmd) Run(sh *shell) error {
	f, err := sh.open(c.File)
	if err != nil {
		return err
	}
	defer f.Close()
	return sh.service(func(s *api.Service) error {
		v, notes, err := s.ImportGPX(sh.ctx, f)
		if err != nil {
			return err
		}
		for _, n := range notes {
			sh.say("- %s", n)
		}
		return sh.to(c.Out, jsonOf(v))
	})
}

type voyageSettingsCmd struct {
	Set    string `help:"Keep the settings of a JSON file." placeholder:"FILE"`
	Voyage string `help:"Which voyage; default the only one." placeholder:"ID"`
}

// Run shows or keeps the settings, as JSON.
func (c *voyageSettingsCmd) Run(sh *shell) error {
	return sh.service(func(s *api.Service) error {
		id, err := sh.voyageOf(s, c.Voyage)
		if err != nil {
			return err
		}
		if c.Set != "" {
			set, err := readJSON[api.Settings](sh, c.Set)
			if err != nil {
				return err
			}
			if _, err := s.PutSettings(sh.ctx, id, set, api.AnyRevision); err != nil {
				return err
			}
		}
		kept, err := s.Settings(sh.ctx, id)
		if err != nil {
			return err
		}
		return jsonOf(kept.Value)(sh.out)
	})
}

type voyageWishCmd struct {
	Item   string  `arg:"" help:"Id of the item."`
	Port   string  `arg:"" optional:"" help:"Where; with --never everywhere if not said."`
	Least  float64 `help:"At least so much there, in kg, L or pieces." xor:"wish" required:""`
	Never  bool    `help:"Do not buy it." xor:"wish" required:""`
	Drop   bool    `help:"Take the wish back."`
	Voyage string  `help:"Which voyage; default the only one." placeholder:"ID"`
}

// Run keeps or drops the wish.
func (c *voyageWishCmd) Run(sh *shell) error {
	return sh.service(func(s *api.Service) error {
		id, err := sh.voyageOf(s, c.Voyage)
		if err != nil {
			return err
		}
		change := s.Wish
		if c.Drop {
			change = s.Unwish
		}
		kept, err := change(sh.ctx, id, brief.Wish{
			Item: pricing.ItemID(c.Item), Port: pricing.PortID(c.Port), Never: c.Never, Least: c.Least,
		})
		if err != nil {
			return err
		}
		return sh.emit(kept.Value.Wishes, func(w io.Writer) error {
			p := printer{w: w}
			for _, x := range kept.Value.Wishes {
				p.f("%s\n", wishWords(x))
			}
			return p.err
		})
	})
}

func wishWords(w brief.Wish) string {
	where := ""
	if w.Port != "" {
		where = " in " + string(w.Port)
	}
	if w.Never {
		return fmt.Sprintf("never %s%s", w.Item, where)
	}
	return fmt.Sprintf("at least %g of %s%s", w.Least, w.Item, where)
}

type voyageDeleteCmd struct {
	ID string `arg:"" help:"The voyage."`
}

// Run takes the voyage away.
func (c *voyageDeleteCmd) Run(sh *shell) error {
	return sh.service(func(s *api.Service) error { return s.DeleteVoyage(sh.ctx, c.ID, api.AnyRevision) })
}
