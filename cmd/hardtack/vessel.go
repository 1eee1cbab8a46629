package main

import (
	"fmt"
	"io"

	"hardtack/api"
	"hardtack/route/vessel"
)

type vesselCmd struct {
	Show   vesselShowCmd   `cmd:"" default:"withargs" help:"Show a vessel, or list them all."`
	Set    vesselSetCmd    `cmd:"" help:"Keep the vessel of a JSON file, in place of the one with its id."`
	Space  vesselSpaceCmd  `cmd:"" help:"Add a space, change one, or take one away."`
	Delete vesselDeleteCmd `cmd:"" help:"Take a vessel away."`
}

// Help implements kong's HelpProvider.
func (vesselCmd) Help() string {
	return `A vessel is its spaces, tanks and cylinders. Kinds of space: dry, cool (bilge),
net (aired), fridge, freezer, deck, gas.

Example:
  hardtack vessel set vessel.json`
}

type vesselShowCmd struct {
	ID string `arg:"" optional:"" help:"The vessel; default the only one."`
}

// Run shows one vessel, or lists several.
func (c *vesselShowCmd) Run(sh *shell) error {
	return sh.service(func(s *api.Service) error {
		all, err := s.Vessels(sh.ctx)
		if err != nil {
			return err
		}
		if c.ID == "" && len(all) != 1 {
			return overview(sh, all, `No vessel is kept yet: enter one with "hardtack vessel set FILE".`,
				func(v vessel.Vessel) string { return v.ID + "  " + v.Name })
		}
		id, err := sh.vesselOf(s, c.ID)
		if err != nil {
			return err
		}
		v, err := s.Vessel(sh.ctx, id)
		if err != nil {
			return err
		}
		return sh.emit(v.Value, func(w io.Writer) error { return describeVessel(w, v.Value) })
	})
}

func describeVessel(w io.Writer, v vessel.Vessel) error {
	p := columns(w)
	p.f("%s (%s)\n", v.Name, v.ID)
	for _, s := range v.Spaces {
		p.f("  %s\t%s\t%.0f L to fill\n", s.ID, s.Kind, s.Fillable())
	}
	p.f("  water tanks\t%s\t%.0f L, watermaker %.0f L a day\n", vessel.Tank, v.WaterTankL, v.WatermakerLPerDay)
	for _, c := range v.Cylinders {
		p.f("  cylinder\t%s\t%g kg, %.0f %% left\n", vessel.GasLocker, c.Kg, 100*c.Full)
	}
	if v.PayloadKg != nil {
		p.f("  payload\t\t%.0f kg of things carried aboard\n", *v.PayloadKg)
	}
	return p.end()
}

type vesselSetCmd struct {
	File string `arg:"" help:"A JSON file; - is standard input."`
}

// Run keeps the vessel.
func (c *vesselSetCmd) Run(sh *shell) error {
	v, err := readJSON[vessel.Vessel](sh, c.File)
	if err != nil {
		return err
	}
	return sh.service(func(s *api.Service) error {
		kept, err := s.PutVessel(sh.ctx, v, api.AnyRevision)
		if err != nil {
			return err
		}
		return sh.emit(kept, func(w io.Writer) error { return describeVessel(w, kept.Value) })
	})
}

type vesselSpaceCmd struct {
	Name   string  `arg:"" help:"Name of the space, as on the count sheet."`
	Kind   string  `arg:"" optional:"" help:"dry, cool, net, fridge, freezer, deck or gas."`
	Litres float64 `arg:"" optional:"" help:"As measured; the usable share is reckoned with."`
	Crates float64 `help:"Folding crates it takes, instead of litres."`
	Bags   float64 `help:"Full shopping bags it takes, instead of litres."`
	Remove bool    `help:"Take the space away."`
	Vessel string  `help:"Which vessel; default the only one." placeholder:"ID"`
}

// Run changes one space.
func (c *vesselSpaceCmd) Run(sh *shell) error {
	return sh.service(func(s *api.Service) error {
		id, err := sh.vesselOf(s, c.Vessel)
		if err != nil {
			return err
		}
		kept, err := s.Vessel(sh.ctx, id)
		if err != nil {
			return err
		}
		if kept.Value.Spaces, err = c.change(kept.Value.Spaces); err != nil {
			return err
		}
		kept, err = s.PutVessel(sh.ctx, kept.Value, kept.Revision)
		if err != nil {
			return err
		}
		return sh.emit(kept, func(w io.Writer) error { return describeVessel(w, kept.Value) })
	})
}

func (c *vesselSpaceCmd) change(spaces []vessel.Space) ([]vessel.Space, error) {
	space := vessel.Space{ID: c.Name, Kind: vessel.SpaceKind(c.Kind), Litres: c.Litres, Crates: c.Crates, Bags: c.Bags}
	for k, old := range spaces {
		if old.ID != c.Name {
			continue
		}
		if c.Remove {
			return append(spaces[:k:k], spaces[k+1:]...), nil
		}
		space.TempC, space.Usable = old.TempC, old.Usable
		if c.Kind == "" {
			space.Kind = old.Kind
		}
		spaces[k] = space
		return spaces, nil
	}
	if c.Remove {
		return nil, fmt.Errorf("space %q: %w; nothing was changed", c.Name, api.ErrNotFound)
	}
	return append(spaces, space), nil
}

type vesselDeleteCmd struct {
	ID string `arg:"" help:"The vessel."`
}

// Run takes the vessel away.
func (c *vesselDeleteCmd) Run(sh *shell) error {
	return sh.service(func(s *api.Service) error { return s.DeleteVessel(sh.ctx, c.ID, api.AnyRevision) })
}
