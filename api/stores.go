package api

import (
	"context"
	"errors"
	"io"
	"math"
	"strings"

	"hardtack/db"
	"hardtack/pricing"
	"hardtack/pricing/measure"
	"hardtack/route/meal"
	"hardtack/route/scale"
	"hardtack/route/vessel"
)

// StoresList gives a stores list, ErrNotFound when there is none of that id.
func (s *Service) StoresList(ctx context.Context, id string) (Kept[scale.List], error) {
	return get[scale.List](ctx, s, db.KindStoresList, id)
}

// StoresLists gives the ids of all of them.
func (s *Service) StoresLists(ctx context.Context) ([]string, error) {
	docs, err := s.db.List(ctx, db.KindStoresList)
	if err != nil {
		return nil, err
	}
	ids := make([]string, len(docs))
	for i, d := range docs {
		ids[i] = d.ID
	}
	return ids, nil
}

// PutStoresList keeps a list (CSV of item and amount, with people and days on
// top) that was right for so many people and days. Errors: ErrInvalid naming
// every line at fault, ErrStale, ErrConflict (expected Absent).
func (s *Service) PutStoresList(ctx context.Context, id string, r io.Reader, expect int64) (Kept[scale.List], error) {
	var fs faults
	checkID(&fs, "id", id)
	if err := fs.err("stores list"); err != nil {
		return Kept[scale.List]{}, err
	}
	l, err := scale.Parse(r, s.world.Catalogue)
	if errors.Is(err, scale.ErrInvalid) {
		return Kept[scale.List]{}, invalid("stores list "+id, err)
	}
	if err != nil {
		return Kept[scale.List]{}, err
	}
	if l.People == 0 || l.Days == 0 {
		fs.add("people", "no people or no days", "lines people,N and days,N on top: how many it was right for, and how long")
		return Kept[scale.List]{}, fs.err("stores list " + id)
	}
	return put(ctx, s, db.KindStoresList, id, l, expect)
}

// DeleteStoresList takes a stores list away.
func (s *Service) DeleteStoresList(ctx context.Context, id string, expect int64) error {
	return s.db.Delete(ctx, db.KindStoresList, id, expect)
}

// ScaleRequest asks for a stores list for other people and days.
type ScaleRequest struct {
	List    string  `json:"list,omitempty"` // a list kept; empty: the catalogue's own
	People  float64 `json:"people"`         // adults; a child counts by its share
	Days    float64 `json:"days"`
	Reserve float64 `json:"reserve,omitzero"` // days more
	Vessel  string  `json:"vessel,omitempty"` // whose fridge there is, and what is aboard; empty: neither
	Fridge  float64 `json:"fridge,omitzero"`  // litres, in place of the vessel's
	Freezer float64 `json:"freezer,omitzero"`
	LockerC float64 `json:"locker_c,omitzero"` // temperature of the lockers; 0 = usual
	Meals   string  `json:"meals,omitempty"`   // a list of meals (CSV of meal, kind, times, item, amount) in place of List
	Prone   float64 `json:"prone,omitzero"`    // to seasickness, for meals
	Ocean   bool    `json:"ocean,omitempty"`   // an ocean passage, for meals
}

// Scale gives the list for them, what is aboard subtracted. Errors:
// ErrNotFound (list, vessel), ErrInvalid.
func (s *Service) Scale(ctx context.Context, r ScaleRequest) (scale.Result, error) {
	l, err := s.listFor(ctx, r)
	if err != nil {
		return scale.Result{}, err
	}
	t := scale.Target{People: r.People, Days: r.Days, Reserve: r.Reserve, Fridge: r.Fridge, Freezer: r.Freezer, LockerC: r.LockerC}
	if r.Vessel != "" {
		if err := s.aboardOf(ctx, r.Vessel, &t); err != nil {
			return scale.Result{}, err
		}
	}
	out, err := scale.To(s.world.Catalogue, l, t)
	if errors.Is(err, scale.ErrInvalid) {
		return scale.Result{}, invalid("scale", err)
	}
	return out, err
}

// listFor is the list to scale.
func (s *Service) listFor(ctx context.Context, r ScaleRequest) (scale.List, error) {
	switch {
	case r.Meals != "":
		m, err := meal.Read(strings.NewReader(r.Meals), s.world.Catalogue)
		if errors.Is(err, meal.ErrInvalid) {
			return scale.List{}, invalid("meals", err)
		}
		return m.List(meal.Passage{
			People: r.People, Days: r.Days, Nights: max(0, math.Ceil(r.Days)-1), Watch: r.People, Prone: r.Prone, Ocean: r.Ocean,
		}), err
	case r.List != "":
		kept, err := s.StoresList(ctx, r.List)
		return kept.Value, err
	}
	return scale.Starting(s.world.Catalogue), nil
}

// aboardOf fills a target with a vessel's fridge and what is aboard.
func (s *Service) aboardOf(ctx context.Context, id string, t *scale.Target) error {
	v, err := s.Vessel(ctx, id)
	if err != nil {
		return err
	}
	lots, _, err := s.db.Lots(ctx, id)
	if err != nil {
		return err
	}
	t.Aboard = map[pricing.ItemID]measure.Quantity{}
	for _, l := range lots {
		t.Aboard[l.Item] += l.Quantity
	}
	if t.Fridge == 0 {
		t.Fridge = litresOf(v.Value, vessel.Fridge)
	}
	if t.Freezer == 0 {
		t.Freezer = litresOf(v.Value, vessel.Freezer)
	}
	return nil
}

func litresOf(v vessel.Vessel, k vessel.SpaceKind) float64 {
	sum := 0.0
	for _, s := range v.Spaces {
		if s.Kind == k {
			sum += s.Litres
		}
	}
	return sum
}
