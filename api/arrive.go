package api

import (
	"context"

	"hardtack/pricing"
	"hardtack/pricing/calendar"
	"hardtack/route/arrival"
	"hardtack/route/inventory"
)

// Crossing says which border is prepared for. Without ports it is the next call
// of the voyage.
type Crossing struct {
	From   string       `json:"from,omitempty"`
	To     string       `json:"to,omitempty"`
	Arrive calendar.Day `json:"arrive,omitzero"`
	Voyage string       `json:"voyage,omitempty"`
	Crew   string       `json:"crew,omitempty"`
}

// adultFrom is the age from which customs count an adult's allowance here; many
// countries say 18, some 20 or 21.
const adultFrom = 18

// Arrival is what is taken in the next country, what to eat down from now, the
// list for the officer and the stores to seal. Errors: ErrNotFound, ErrInvalid.
func (s *Service) Arrival(ctx context.Context, vesselID string, x Crossing) (arrival.List, error) {
	if _, err := s.Vessel(ctx, vesselID); err != nil {
		return arrival.List{}, err
	}
	v, err := s.crossing(ctx, x)
	if err != nil {
		return arrival.List{}, err
	}
	crew, err := s.crewFor(ctx, x.Crew)
	if err != nil {
		return arrival.List{}, err
	}
	for _, p := range crew.Persons {
		if p.Age >= adultFrom && p.DaysAboard(v.Today, 0, 1) > 0 {
			v.Adults++
		}
	}
	rates, err := s.rates(ctx, vesselID, crew.ID)
	if err != nil {
		return arrival.List{}, err
	}
	lots, _, err := s.db.Lots(ctx, vesselID)
	if err != nil {
		return arrival.List{}, err
	}
	cat := rates.Apply(s.world.Catalogue)
	return arrival.For(lots, s.world.Catalogue, s.world.Rules, v, inventory.EatsOf(cat, inventory.PerDay(crew, v.Today))), nil
}

// crossing finds the two ports.
func (s *Service) crossing(ctx context.Context, x Crossing) (arrival.Voyage, error) {
	v := arrival.Voyage{Today: s.Today(), Arrive: x.Arrive}
	if x.From == "" || x.To == "" {
		voyage, err := s.voyageFor(ctx, x.Voyage)
		if err != nil {
			return v, err
		}
		it, err := s.Itinerary(ctx, voyage)
		if err != nil {
			return v, err
		}
		for k, c := range it.Calls {
			on := it.Start + calendar.Day(c.Arrive)
			if k > 0 && x.To == "" && on >= v.Today {
				x.From, x.To, v.Arrive = string(it.Calls[k-1].Port), string(c.Port), on
			}
		}
	}
	rd, err := s.reader(ctx)
	if err != nil {
		return v, err
	}
	rd.port("from", x.From)
	rd.port("to", x.To)
	v.From, _ = rd.gazetteer.Port(pricing.PortID(x.From))
	v.To, _ = rd.gazetteer.Port(pricing.PortID(x.To))
	return v, rd.faults.err("arrival")
}
