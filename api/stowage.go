package api

import (
	"context"
	"io"

	"hardtack/route/inventory"
	"hardtack/route/vessel"
)

// Lockers gives the lockers of a vessel, in its order, and their revision.
func (s *Service) Lockers(ctx context.Context, vesselID string) (Kept[[]vessel.Locker], error) {
	if _, err := s.Vessel(ctx, vesselID); err != nil {
		return Kept[[]vessel.Locker]{}, err
	}
	lockers, revision, err := s.db.Lockers(ctx, vesselID)
	return Kept[[]vessel.Locker]{lockers, revision}, err
}

// PutLockers makes the lockers all a vessel has. Goods in one that is gone stay
// in its space. Errors: ErrInvalid naming every fault, ErrStale, ErrNotFound.
func (s *Service) PutLockers(ctx context.Context, vesselID string, lockers []vessel.Locker, expect int64) (Kept[[]vessel.Locker], error) {
	b, err := s.boatOf(ctx, vesselID)
	if err != nil {
		return Kept[[]vessel.Locker]{}, err
	}
	if err := b.Vessel.CheckLockers(lockers); err != nil {
		return Kept[[]vessel.Locker]{}, invalid("lockers of "+vesselID, err)
	}
	if err := s.emptyGone(ctx, b, lockers); err != nil {
		return Kept[[]vessel.Locker]{}, err
	}
	revision, err := s.db.SetLockers(ctx, vesselID, lockers, expect)
	return Kept[[]vessel.Locker]{lockers, revision}, err
}

// emptyGone leaves the goods of lockers that are no more in their spaces.
func (s *Service) emptyGone(ctx context.Context, b inventory.Boat, lockers []vessel.Locker) error {
	lots, revision, err := s.db.Lots(ctx, b.Vessel.ID)
	if err != nil {
		return err
	}
	changed := false
	for i, l := range lots {
		if now, ok := vessel.FindLocker(lockers, l.Locker); l.Locker != "" && (!ok || now.Space != l.Space) {
			lots[i].Locker, changed = "", true
		}
	}
	if changed {
		_, err = s.db.SetLots(ctx, b.Vessel.ID, lots, revision)
	}
	return err
}

// boatOf is a vessel with its lockers and the catalogue.
func (s *Service) boatOf(ctx context.Context, vesselID string) (inventory.Boat, error) {
	v, err := s.Vessel(ctx, vesselID)
	if err != nil {
		return inventory.Boat{}, err
	}
	lockers, _, err := s.db.Lockers(ctx, vesselID)
	return inventory.Boat{Catalogue: s.world.Catalogue, Vessel: v.Value, Lockers: lockers}, err
}

// Find says where the things lie that a word means.
func (s *Service) Find(ctx context.Context, vesselID, word string) ([]inventory.Spot, error) {
	kept, err := s.Aboard(ctx, vesselID)
	return inventory.Find(kept.Value, s.world.Catalogue, word), err
}

// CountSheet writes a sheet to print and fill in, by locker; as a form it is
// the CSV file that Count reads.
func (s *Service) CountSheet(ctx context.Context, w io.Writer, vesselID string, form bool) error {
	b, err := s.boatOf(ctx, vesselID)
	if err != nil {
		return err
	}
	lots, _, err := s.db.Lots(ctx, vesselID)
	if err != nil {
		return err
	}
	if form {
		return b.WriteCount(w, lots, true)
	}
	return b.Sheet(w, lots)
}
