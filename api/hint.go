package api

import (
	"context"
	"fmt"

	"hardtack/pricing"
	"hardtack/route/logbook"
)

// Hints are what the boat's own log says before the shopping at a stop of a
// voyage's last plan: goods found in a bad way before, pests, and what people
// at the stops ahead wish for. Errors: ErrNotFound (vessel, plan or stop).
func (s *Service) Hints(ctx context.Context, vesselID, voyage string, stop int) ([]logbook.Hint, error) {
	if _, err := s.Vessel(ctx, vesselID); err != nil {
		return nil, err
	}
	voyage, err := s.voyageFor(ctx, voyage)
	if err != nil {
		return nil, err
	}
	p, err := s.LastPlan(ctx, voyage)
	if err != nil {
		return nil, err
	}
	stops := p.Value.Notes.Stops
	if stop < 0 || stop >= len(stops) {
		return nil, fmt.Errorf("stop %d of voyage %s: %w, it has %d, counted from 0", stop, voyage, ErrNotFound, len(stops))
	}
	var ahead []string
	for _, x := range stops[stop+1:] {
		ahead = append(ahead, string(x.Port), x.Name)
	}
	buys := map[pricing.ItemID]bool{}
	for _, b := range p.Value.Plan.Purchases {
		if note, ok := p.Value.Notes.Item(b.Item); ok && b.Stop == stop {
			buys[note.Item] = true
		}
	}
	log, err := s.db.Log(ctx, vesselID, 0, 0)
	if err != nil {
		return nil, err
	}
	return logbook.Hints(log, string(stops[stop].Port), ahead, func(id pricing.ItemID) bool { return buys[id] }), nil
}
