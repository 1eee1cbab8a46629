package api

import (
	"context"
	"encoding/json"
	"errors"
	"slices"

	"hardtack/db"
	"hardtack/pricing/calendar"
	"hardtack/route/inventory"
	"hardtack/route/logbook"
	"hardtack/route/pest"
	"hardtack/route/tankage"
	"hardtack/route/vessel"
)

// Log is a vessel's stores' log from one day to another, both included; a zero
// day is open.
func (s *Service) Log(ctx context.Context, vesselID string, from, to calendar.Day) ([]logbook.Entry, error) {
	if _, err := s.Vessel(ctx, vesselID); err != nil {
		return nil, err
	}
	return s.db.Log(ctx, vesselID, from, to)
}

// AddLog writes an entry; without a day it is today's, without an id it gets
// one. A temperature read in a locker is also kept as that locker's. Errors:
// ErrInvalid, ErrNotFound (the vessel), ErrConflict (the id is taken).
func (s *Service) AddLog(ctx context.Context, vesselID string, e logbook.Entry) (logbook.Entry, error) {
	b, err := s.boatOf(ctx, vesselID)
	if err != nil {
		return e, err
	}
	if e.Day.IsZero() {
		e.Day = s.Today()
	}
	if e.ID == "" {
		e.ID = s.newID()
	}
	if err := e.Validate(); err != nil {
		return e, invalid("log", err)
	}
	rd, err := s.reader(ctx)
	if err != nil {
		return e, err
	}
	rd.day("day", e.Day)
	if e.Item != "" {
		rd.item("item", string(e.Item))
	}
	rd.text("place", e.Place, maxName)
	rd.text("note", e.Note, maxNote)
	if err := rd.faults.err("log"); err != nil {
		return e, err
	}
	if err := s.keepLog(ctx, b.Vessel, e); err != nil {
		if errors.Is(err, db.ErrInvalid) {
			err = invalid("log", err)
		}
		return e, err
	}
	return e, s.readLocker(ctx, b, e)
}

// keepLog writes an entry, and with it how the gas stands after one that tells
// of cylinders. One that is older than another of those changes none.
func (s *Service) keepLog(ctx context.Context, v vessel.Vessel, e logbook.Entry) error {
	if e.Kind != logbook.GasSwap && e.Kind != logbook.GasFilled || len(v.Cylinders) == 0 {
		return s.db.AddLog(ctx, v.ID, e)
	}
	log, err := s.db.Log(ctx, v.ID, e.Day+1, 0)
	if err != nil || len(logbook.Between(log, e.Day+1, 1<<30, logbook.GasSwap, logbook.GasFilled)) > 0 {
		return errors.Join(err, s.db.AddLog(ctx, v.ID, e))
	}
	for n := 0; ; n++ {
		kept, err := s.Vessel(ctx, v.ID)
		if err != nil {
			return err
		}
		v = kept.Value
		if e.Kind == logbook.GasSwap {
			v.Cylinders = tankage.Swap(v.Cylinders, e.Amount)
		} else {
			v.Cylinders = tankage.Fill(v.Cylinders, e.Amount)
		}
		body, err := json.Marshal(v)
		if err != nil {
			return err
		}
		err = s.db.AddLogWith(ctx, v.ID, e, db.With{Kind: db.KindVessel, ID: v.ID, Body: body}, kept.Revision)
		if !errors.Is(err, ErrStale) || n == 5 {
			return err
		}
	}
}

// readLocker keeps a temperature with its locker, if that is newer.
func (s *Service) readLocker(ctx context.Context, b inventory.Boat, e logbook.Entry) error {
	k := slices.IndexFunc(b.Lockers, func(l vessel.Locker) bool { return l.ID == e.Place })
	if e.Kind != logbook.Temperature || k < 0 || b.Lockers[k].ReadOn > e.Day.String() {
		return nil
	}
	lockers := slices.Clone(b.Lockers)
	lockers[k].TempC, lockers[k].ReadOn = &e.Amount, e.Day.String()
	_, err := s.db.SetLockers(ctx, b.Vessel.ID, lockers, AnyRevision)
	return err
}

// PestAdvice is what threatens the dry stores and what to do.
type PestAdvice struct {
	Risks      []pest.Risk      `json:"risks"`
	Neighbours []pest.Risk      `json:"neighbours"` // of a lot pests were found in
	Treatments []pest.Treatment `json:"treatments"`
	Hints      []string         `json:"hints"`
	Bait       string           `json:"bait"` // caution
}

// Pests rates the lots by food, pack, warmth and what was reported of their
// port, locker or kind; with a lot named, also what lies beside it.
func (s *Service) Pests(ctx context.Context, vesselID, lotID string, at Where) (PestAdvice, error) {
	b, err := s.boatOf(ctx, vesselID)
	if err != nil {
		return PestAdvice{}, err
	}
	lat, day, err := s.latitude(ctx, at)
	if err != nil {
		return PestAdvice{}, err
	}
	lots, _, err := s.db.Lots(ctx, vesselID)
	if err != nil {
		return PestAdvice{}, err
	}
	log, err := s.db.Log(ctx, vesselID, 0, 0)
	if err != nil {
		return PestAdvice{}, err
	}
	warm := b.WarmthAt(lat, day)
	out := PestAdvice{
		Risks:      pest.Risks(lots, s.world.Catalogue, func(l inventory.Lot) float64 { return warm(l, 0).TempC }, seen(log)),
		Neighbours: []pest.Risk{}, Treatments: pest.Treatments(), Hints: pest.Hints(), Bait: pest.BaitCaution,
	}
	if lotID == "" {
		return out, nil
	}
	k := slices.IndexFunc(lots, func(l inventory.Lot) bool { return l.ID == lotID })
	if k < 0 {
		var fs faults
		fs.add("lot", quote(lotID), "the id of a lot that is aboard")
		return PestAdvice{}, fs.err("pests")
	}
	out.Neighbours = append(out.Neighbours, pest.Neighbours(lots[k], lots, s.world.Catalogue)...)
	return out, nil
}

// seen says where the log has pests: of that item, port or locker.
func seen(log []logbook.Entry) pest.Seen {
	pests := logbook.Between(log, 0, 1<<30, logbook.PestSeen)
	return func(l inventory.Lot) bool {
		return slices.ContainsFunc(pests, func(e logbook.Entry) bool {
			return e.Item != "" && e.Item == l.Item || e.Place != "" && (e.Place == string(l.Port) || e.Place == l.Place())
		})
	}
}
