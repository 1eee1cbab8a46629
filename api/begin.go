package api

import (
	"context"
	"fmt"

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

// PutBoat keeps a vessel and a crew that were changed together, each against
// the revision it was read at. Both are checked before either is kept. Errors:
// ErrInvalid, ErrStale.
func (s *Service) PutBoat(ctx context.Context, v vessel.Vessel, vesselRevision int64, c vessel.Crew, crewRevision int64) error {
	if err := v.Validate(); err != nil {
		return invalid("vessel "+v.ID, err)
	}
	if err := c.Validate(); err != nil {
		return invalid("crew "+c.ID, err)
	}
	if err := c.CheckWords(s.world.Catalogue); err != nil {
		return invalid("crew "+c.ID, err)
	}
	now, err := s.Crew(ctx, c.ID)
	if err != nil {
		return err
	}
	if now.Revision != crewRevision {
		return fmt.Errorf("crew %s: %w; nothing was changed", c.ID, ErrStale)
	}
	if _, err := s.PutVessel(ctx, v, vesselRevision); err != nil {
		return err
	}
	_, err = s.PutCrew(ctx, c, crewRevision)
	return err
}
