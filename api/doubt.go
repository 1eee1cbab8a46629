package api

import (
	"context"
	"errors"
	"math"

	"hardtack/pricing"
	"hardtack/route/logbook"
	"hardtack/route/risk"
)

// doubt is what is not known of a voyage's brief.
func (s *Service) doubt(ctx context.Context, voyage string, b Briefed) (risk.Doubt, error) {
	p, err := s.place(ctx)
	if err != nil {
		return risk.Doubt{}, err
	}
	made, err := s.passages(ctx, voyage)
	if err != nil {
		return risk.Doubt{}, err
	}
	return risk.Of(b.Brief, b.Notes, risk.Sources{Catalogue: s.world.Catalogue, Passages: made, Island: func(id pricing.PortID) string {
		q, _ := p.gazetteer.Port(id)
		return q.Island
	}}), nil
}

// passages are those in the log of a voyage's vessel, beside what some kept
// plan had foreseen for them.
func (s *Service) passages(ctx context.Context, voyage string) ([]risk.Passage, error) {
	set, err := s.Settings(ctx, voyage)
	if err != nil {
		return nil, err
	}
	boat, err := only(ctx, "vessel", set.Value.Vessel, s.Vessel, s.Vessels)
	if errors.Is(err, ErrInvalid) || errors.Is(err, ErrNotFound) {
		return nil, nil // whose log is not settled
	}
	if err != nil {
		return nil, err
	}
	log, err := s.Log(ctx, boat.ID, 0, 0)
	if err != nil {
		return nil, err
	}
	voyages, err := s.Voyages(ctx)
	if err != nil {
		return nil, err
	}
	var plans []Planned
	for _, v := range voyages {
		p, err := s.LastPlan(ctx, v.Value.ID)
		if errors.Is(err, ErrNotFound) {
			continue
		}
		if err != nil {
			return nil, err
		}
		plans = append(plans, p.Value)
	}
	var out []risk.Passage
	for _, e := range log {
		if planned := plannedDays(plans, e); e.Kind == logbook.Sailed && planned > 0 {
			out = append(out, risk.Passage{Planned: planned, Took: e.Amount})
		}
	}
	return out, nil
}

// nearDays is how far from the day foreseen a passage's entry may lie.
const nearDays = 45

// plannedDays is what the plan that foresaw the port nearest to an entry's day
// has for the passage to it; 0 where none does.
func plannedDays(plans []Planned, e logbook.Entry) float64 {
	days, nearest := 0.0, float64(nearDays)
	for _, p := range plans {
		for i := 1; i < len(p.Notes.Stops) && i < len(p.Brief.Stops); i++ {
			n := p.Notes.Stops[i]
			off := math.Abs(float64(p.Notes.Start-e.Day) + p.Brief.Stops[i].Arrive)
			if leg := p.Brief.Stops[i].Arrive - p.Brief.Stops[i-1].Depart; leg > 0 && off <= nearest && (string(n.Port) == e.Place || n.Name == e.Place) {
				days, nearest = leg, off
			}
		}
	}
	return days
}
