package api

import (
	"context"
	"fmt"

	"hardtack/pricing"
	"hardtack/pricing/calendar"
	"hardtack/route/inventory"
	"hardtack/route/keeping"
	"hardtack/route/logbook"
	"hardtack/route/vessel"
)

// Where says where and when the boat is, as far as the galley cares. Without a
// port it is where the voyage has it that day.
type Where struct {
	Day    calendar.Day `json:"day,omitzero"` // zero: today
	Port   string       `json:"port,omitempty"`
	Voyage string       `json:"voyage,omitempty"` // empty: the only one there is
}

// UseFirst is what should be eaten first within the days ahead, and what the
// crew will not finish in time. Errors: ErrNotFound, ErrInvalid (a port that
// is none, or nobody says where the boat is).
func (s *Service) UseFirst(ctx context.Context, vesselID, crewID string, at Where, ahead float64) ([]inventory.Due, error) {
	b, err := s.boatOf(ctx, vesselID)
	if err != nil {
		return nil, err
	}
	lat, day, err := s.latitude(ctx, at)
	if err != nil {
		return nil, err
	}
	lots, _, err := s.db.Lots(ctx, vesselID)
	if err != nil {
		return nil, err
	}
	crew, err := s.crewFor(ctx, crewID)
	if err != nil {
		return nil, err
	}
	rates, err := s.rates(ctx, vesselID, crew.ID)
	if err != nil {
		return nil, err
	}
	log, err := s.db.Log(ctx, vesselID, 0, day)
	if err != nil {
		return nil, err
	}
	cat := rates.Apply(s.world.Catalogue)
	return b.UseFirst(lots, day, ahead, b.WarmthAt(lat, day), inventory.EatsOf(cat, inventory.PerDay(crew, day)), looks(log)), nil
}

// looks are the condition reports of the log.
func looks(log []logbook.Entry) []inventory.Look {
	var out []inventory.Look
	for _, e := range logbook.Between(log, 0, 1<<30, logbook.Condition) {
		out = append(out, inventory.Look{Item: e.Item, Place: e.Place, Day: e.Day, Words: e.Note})
	}
	return out
}

// FridgeOff is the order in which to rescue what lies in fridge and freezer.
func (s *Service) FridgeOff(ctx context.Context, vesselID string, at Where, hoursOff float64) ([]inventory.Rescue, error) {
	b, err := s.boatOf(ctx, vesselID)
	if err != nil {
		return nil, err
	}
	if !(hoursOff >= 0) {
		var fs faults
		fs.add("hours", fmt.Sprint(hoursOff), "hours without power, 0 or more")
		return nil, fs.err("fridge")
	}
	lat, day, err := s.latitude(ctx, at)
	if err != nil {
		return nil, err
	}
	lots, _, err := s.db.Lots(ctx, vesselID)
	if err != nil {
		return nil, err
	}
	return b.FridgeOff(lots, hoursOff, keeping.Climate(vessel.Dry, lat, day.Time().YearDay())), nil
}

// latitude is where the boat is on a day.
func (s *Service) latitude(ctx context.Context, at Where) (float64, calendar.Day, error) {
	day := at.Day
	if day.IsZero() {
		day = s.Today()
	}
	rd, err := s.reader(ctx)
	if err != nil {
		return 0, day, err
	}
	if at.Port != "" {
		rd.port("port", at.Port)
		p, _ := rd.gazetteer.Port(pricing.PortID(at.Port))
		return p.Position.Lat, day, rd.faults.err("where")
	}
	voyage, err := s.voyageFor(ctx, at.Voyage)
	if err != nil {
		return 0, day, err
	}
	it, err := s.Itinerary(ctx, voyage)
	if err != nil {
		return 0, day, err
	}
	lat := func(id pricing.PortID) (float64, bool) {
		p, ok := rd.gazetteer.Port(id)
		return p.Position.Lat, ok
	}
	return keeping.NewTrack(it, lat, vessel.Vessel{}).Lat(float64(day - it.Start)), day, nil
}

// voyageFor is the voyage named, or the only one there is.
func (s *Service) voyageFor(ctx context.Context, id string) (string, error) {
	if id != "" {
		return id, nil
	}
	all, err := s.Voyages(ctx)
	if err != nil {
		return "", err
	}
	if len(all) != 1 {
		var fs faults
		fs.add("port", fmt.Sprintf("no port, and %d voyages", len(all)), "the port the boat is near, or the name of the voyage")
		return "", fs.err("where")
	}
	return all[0].Value.ID, nil
}
