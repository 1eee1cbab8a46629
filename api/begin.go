package api

import (
	"context"

	"hardtack/route"
	"hardtack/route/vessel"
)

// Beginning is what a first plan needs. A vessel or crew that is kept already
// may be left nil beside its id.
type Beginning struct {
	Vessel   *vessel.Vessel
	Crew     *vessel.Crew
	Voyage   route.Voyage
	Settings Settings // empty ids are filled from Vessel and Crew
}

// Begin keeps a boat, its crew and their voyage. All of it is checked before
// any of it is kept. Errors: ErrInvalid, ErrConflict when there is a voyage of
// that id.
func (s *Service) Begin(ctx context.Context, b Beginning) (Kept[route.Voyage], error) {
	if err := s.checkBeginning(ctx, &b); err != nil {
		return Kept[route.Voyage]{}, err
	}
	if b.Vessel != nil {
		if _, err := s.PutVessel(ctx, *b.Vessel, AnyRevision); err != nil {
			return Kept[route.Voyage]{}, err
		}
	}
	if b.Crew != nil {
		if _, err := s.PutCrew(ctx, *b.Crew, AnyRevision); err != nil {
			return Kept[route.Voyage]{}, err
		}
	}
	kept, err := s.PutVoyage(ctx, b.Voyage, Absent)
	if err != nil {
		return kept, err
	}
	_, err = s.PutSettings(ctx, b.Voyage.ID, b.Settings, AnyRevision)
	return kept, err
}

func (s *Service) checkBeginning(ctx context.Context, b *Beginning) error {
	if v := b.Vessel; v != nil {
		if err := v.Validate(); err != nil {
			return invalid("vessel "+v.ID, err)
		}
		b.Settings.Vessel = v.ID
	}
	if c := b.Crew; c != nil {
		if err := c.Validate(); err != nil {
			return invalid("crew "+c.ID, err)
		}
		if err := c.CheckWords(s.world.Catalogue); err != nil {
			return invalid("crew "+c.ID, err)
		}
		b.Settings.Crew = c.ID
	}
	if err := s.checkVoyage(ctx, b.Voyage); err != nil {
		return err
	}
	_, err := s.settle(ctx, b.Voyage)
	return err
}
