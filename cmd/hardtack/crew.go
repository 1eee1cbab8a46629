package main

import (
	"errors"
	"fmt"
	"io"
	"strings"

	"hardtack/api"
	"hardtack/pricing/calendar"
	"hardtack/route/vessel"
)

type crewCmd struct {
	Show   crewShowCmd   `cmd:"" default:"withargs" help:"Show a crew, or list them all."`
	Set    crewSetCmd    `cmd:"" help:"Keep the crew of a JSON file, in place of the one with its id."`
	Person crewPersonCmd `cmd:"" help:"Add a person, change one, or take one away."`
	Delete crewDeleteCmd `cmd:"" help:"Take a crew away."`
}

// Help implements kong's HelpProvider.
func (crewCmd) Help() string {
	return `A crew is everybody of a season: age, appetite, what they do not eat, and when
they are aboard. "Not eating" takes items, needs, allergens and diets:
` + strings.Join(vessel.Diets(), ", ") + `.

Example:
  hardtack crew person Ada --age 41 --sex f --not-eating pescatarian`
}

type crewShowCmd struct {
	ID string `arg:"" optional:"" help:"The crew; default the only one."`
}

// Run shows one crew, or lists several.
func (c *crewShowCmd) Run(sh *shell) error {
	return sh.service(func(s *api.Service) error {
		all, err := s.Crews(sh.ctx)
		if err != nil {
			return err
		}
		if c.ID == "" && len(all) != 1 {
			return overview(sh, all, `No crew is kept yet: enter one with "hardtack crew set FILE" or "hardtack crew person NAME".`,
				func(v vessel.Crew) string { return fmt.Sprintf("%s  %d people", v.ID, len(v.Persons)) })
		}
		id, err := sh.crewOf(s, c.ID)
		if err != nil {
			return err
		}
		v, err := s.Crew(sh.ctx, id)
		if err != nil {
			return err
		}
		return sh.emit(v.Value, func(w io.Writer) error { return describeCrew(w, v.Value) })
	})
}

func describeCrew(w io.Writer, c vessel.Crew) error {
	p := columns(w)
	p.f("%s\n", c.ID)
	for _, x := range c.Persons {
		p.f("  %s\t%g\t%s\t%s\t%s\n", x.Name, x.Age, x.Sex, strings.Join(x.NotEating, ", "), spans(x.Aboard))
	}
	return p.end()
}

func spans(all []vessel.Span) string {
	var out []string
	for _, s := range all {
		switch {
		case s.From.IsZero():
			out = append(out, "to "+s.To.String())
		case s.To.IsZero():
			out = append(out, "from "+s.From.String())
		default:
			out = append(out, s.From.String()+" to "+s.To.String())
		}
	}
	return strings.Join(out, ", ")
}

type crewSetCmd struct {
	File string `arg:"" help:"A JSON file; - is standard input."`
}

// Run keeps the crew.
func (c *crewSetCmd) Run(sh *shell) error {
	v, err := readJSON[vessel.Crew](sh, c.File)
	if err != nil {
		return err
	}
	return sh.service(func(s *api.Service) error { return sh.putCrew(s, v, api.AnyRevision) })
}

func (sh *shell) putCrew(s *api.Service, v vessel.Crew, expect int64) error {
	kept, err := s.PutCrew(sh.ctx, v, expect)
	if err != nil {
		return err
	}
	return sh.emit(kept, func(w io.Writer) error { return describeCrew(w, kept.Value) })
}

type crewPersonCmd struct {
	Name      string   `arg:"" help:"The person; the id is the name in small letters."`
	Age       *float64 `help:"In years at the start of the voyage."`
	Sex       string   `help:"f or m, for the energy need; may stay unsaid."`
	Appetite  float64  `help:"Against others of that age; 1.2 eats a fifth more."`
	NotEating []string `help:"Items, needs, allergens or diets." placeholder:"WORD"`
	Seasick   bool     `help:"Prone to it in the first days."`
	From      string   `help:"First day aboard." placeholder:"DAY"`
	To        string   `help:"Last day aboard." placeholder:"DAY"`
	Remove    bool     `help:"Take the person away."`
	Crew      string   `help:"Which crew; default the only one, else a new one named crew." placeholder:"ID"`
}

// Run changes one person.
func (c *crewPersonCmd) Run(sh *shell) error {
	p, err := c.person()
	if err != nil {
		return err
	}
	return sh.service(func(s *api.Service) error {
		crew, revision, err := c.crew(sh, s)
		if err != nil {
			return err
		}
		if crew.Persons, err = c.change(crew.Persons, p); err != nil {
			return err
		}
		return sh.putCrew(s, crew, revision)
	})
}

func (c *crewPersonCmd) crew(sh *shell, s *api.Service) (vessel.Crew, int64, error) {
	id, err := sh.crewOf(s, c.Crew)
	if errors.Is(err, api.ErrNotFound) && !c.Remove {
		return vessel.Crew{ID: "crew"}, api.Absent, nil
	}
	if err != nil {
		return vessel.Crew{}, 0, err
	}
	kept, err := s.Crew(sh.ctx, id)
	return kept.Value, kept.Revision, err
}

func (c *crewPersonCmd) person() (vessel.Person, error) {
	p := vessel.Person{
		ID: strings.ToLower(strings.Join(strings.Fields(c.Name), "-")), Name: c.Name, Sex: vessel.Sex(c.Sex),
		Appetite: c.Appetite, NotEating: c.NotEating, Seasick: c.Seasick,
	}
	switch {
	case c.Age != nil:
		p.Age = *c.Age
	case !c.Remove:
		return p, fmt.Errorf("%w: how old is %s? Say --age", errUsage, c.Name)
	}
	var span vessel.Span
	for _, d := range []struct {
		text string
		day  *calendar.Day
	}{{c.From, &span.From}, {c.To, &span.To}} {
		if err := d.day.UnmarshalText([]byte(d.text)); err != nil {
			return p, fmt.Errorf("%w: %w", errUsage, err)
		}
	}
	if span != (vessel.Span{}) {
		p.Aboard = []vessel.Span{span}
	}
	return p, nil
}

func (c *crewPersonCmd) change(all []vessel.Person, p vessel.Person) ([]vessel.Person, error) {
	for k, old := range all {
		if old.ID != p.ID {
			continue
		}
		if c.Remove {
			return append(all[:k:k], all[k+1:]...), nil
		}
		all[k] = p
		return all, nil
	}
	if c.Remove {
		return nil, fmt.Errorf("person %q: %w; nothing was changed", c.Name, api.ErrNotFound)
	}
	return append(all, p), nil
}

type crewDeleteCmd struct {
	ID string `arg:"" help:"The crew."`
}

// Run takes the crew away.
func (c *crewDeleteCmd) Run(sh *shell) error {
	return sh.service(func(s *api.Service) error { return s.DeleteCrew(sh.ctx, c.ID, api.AnyRevision) })
}
