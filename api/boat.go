package api

import (
	"context"

	"hardtack/db"
	"hardtack/route/vessel"
)

// Vessel gives a vessel, ErrNotFound when there is none of that id.
func (s *Service) Vessel(ctx context.Context, id string) (Kept[vessel.Vessel], error) {
	return get[vessel.Vessel](ctx, s, db.KindVessel, id)
}

// Vessels gives all of them by id.
func (s *Service) Vessels(ctx context.Context) ([]Kept[vessel.Vessel], error) {
	return list[vessel.Vessel](ctx, s, db.KindVessel)
}

// PutVessel keeps a vessel under its id. Errors: ErrInvalid, ErrStale,
// ErrConflict (expected Absent).
func (s *Service) PutVessel(ctx context.Context, v vessel.Vessel, expect int64) (Kept[vessel.Vessel], error) {
	var fs faults
	checkID(&fs, "id", v.ID)
	if err := fs.err("vessel"); err != nil {
		return Kept[vessel.Vessel]{}, err
	}
	if err := v.Validate(); err != nil {
		return Kept[vessel.Vessel]{}, invalid("vessel "+v.ID, err)
	}
	return put(ctx, s, db.KindVessel, v.ID, v, expect)
}

// DeleteVessel takes a vessel away; what was aboard stays kept under its id.
func (s *Service) DeleteVessel(ctx context.Context, id string, expect int64) error {
	return s.db.Delete(ctx, db.KindVessel, id, expect, db.KindWorth)
}

// Crew gives a crew, ErrNotFound when there is none of that id.
func (s *Service) Crew(ctx context.Context, id string) (Kept[vessel.Crew], error) {
	return get[vessel.Crew](ctx, s, db.KindCrew, id)
}

// Crews gives all of them by id.
func (s *Service) Crews(ctx context.Context) ([]Kept[vessel.Crew], error) {
	return list[vessel.Crew](ctx, s, db.KindCrew)
}

// PutCrew keeps a crew under its id; errors as PutVessel. What a person does
// not eat must be words the catalogue knows.
func (s *Service) PutCrew(ctx context.Context, c vessel.Crew, expect int64) (Kept[vessel.Crew], error) {
	var fs faults
	checkID(&fs, "id", c.ID)
	if err := fs.err("crew"); err != nil {
		return Kept[vessel.Crew]{}, err
	}
	if err := c.Validate(); err != nil {
		return Kept[vessel.Crew]{}, invalid("crew "+c.ID, err)
	}
	if err := c.CheckWords(s.world.Catalogue); err != nil {
		return Kept[vessel.Crew]{}, invalid("crew "+c.ID, err)
	}
	return put(ctx, s, db.KindCrew, c.ID, c, expect)
}

// DeleteCrew takes a crew away.
func (s *Service) DeleteCrew(ctx context.Context, id string, expect int64) error {
	return s.db.Delete(ctx, db.KindCrew, id, expect)
}
