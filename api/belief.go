package api

import (
	"context"
	"fmt"
	"math"

	"hardtack/pricing"
	"hardtack/pricing/calendar"
	"hardtack/pricing/item"
	"hardtack/pricing/money"
	"hardtack/route"
	"hardtack/route/port"
)

// Pair asks for an estimate.
type Pair struct {
	Port pricing.PortID `json:"port"`
	Item pricing.ItemID `json:"item"`
	Day  calendar.Day   `json:"day,omitzero"` // believed about; zero is today
}

// Estimates gives what is believed of pairs, in their order, and the reference
// currency it is in. The error is ErrInvalid for a port or item not known.
func (s *Service) Estimates(ctx context.Context, pairs []Pair) (money.Currency, []pricing.Estimate, error) {
	rd, err := s.reader(ctx)
	if err != nil {
		return "", nil, err
	}
	out := make([]pricing.Estimate, len(pairs))
	for i, p := range pairs {
		id := rd.port(fmt.Sprintf("pairs[%d].port", i), string(p.Port))
		it := rd.item(fmt.Sprintf("pairs[%d].item", i), string(p.Item))
		at, _ := rd.gazetteer.Port(id)
		out[i] = s.guess(at, it)
	}
	return rd.rates.Reference(), out, rd.faults.err("estimates")
}

// guess is what is believed without any report: the catalogue's base price at
// the country's price level.
func (s *Service) guess(p port.Port, i item.Item) pricing.Estimate {
	level := 1.0
	if l, ok := s.world.Levels[p.Country]; ok {
		level = l.Level
	}
	price, spread := i.BasePrice*level, math.Exp(z80*i.BaseLogSD)
	return pricing.Estimate{
		Price: price, Low80: price / spread, High80: price * spread, LogSD: i.BaseLogSD, Available: 0.7, Basis: pricing.BasisGuess,
	}
}

// z80 is the standard normal quantile at 0.9.
const z80 = 1.2815515655446004

// tableOf believes in the prices of every item at every port of an itinerary.
func (s *Service) tableOf(ctx context.Context, it route.Itinerary) (*pricing.Table, error) {
	p, err := s.place(ctx)
	if err != nil {
		return nil, err
	}
	t := pricing.NewTable(p.rates.Reference(), s.Today())
	for _, c := range it.Calls {
		at, _ := p.gazetteer.Port(c.Port)
		for id, i := range s.world.Catalogue.Items {
			t.Set(at.ID, id, s.guess(at, i))
		}
	}
	return t, nil
}
