package api

import (
	"context"
	"fmt"

	"hardtack/pricing"
	"hardtack/pricing/calendar"
	"hardtack/pricing/estimate"
	"hardtack/pricing/money"
	"hardtack/route"
)

// Pair asks for an estimate.
type Pair struct {
	Port pricing.PortID `json:"port"`
	Item pricing.ItemID `json:"item"`
	Day  calendar.Day   `json:"day,omitzero"` // believed about; zero is today
}

// Estimates gives what is believed of pairs, in their order, and the reference
// currency it is in. Reports later than a pair's day are not used for it. The
// error is ErrInvalid for a port or item that is not known, or more than
// maxDays different days.
func (s *Service) Estimates(ctx context.Context, pairs []Pair) (money.Currency, []pricing.Estimate, error) {
	rd, err := s.reader(ctx)
	if err != nil {
		return "", nil, err
	}
	if pairs, err = knownPairs(rd, pairs); err != nil {
		return "", nil, err
	}
	out := make([]pricing.Estimate, len(pairs))
	models, today := map[calendar.Day]believer{}, s.Today()
	for i, q := range pairs {
		day := min(q.Day, today)
		if models[day] == nil {
			if models[day], err = s.model(ctx, day); err != nil {
				return "", nil, err
			}
		}
		out[i] = models[day].At(q.Port, q.Item, q.Day)
	}
	return rd.place.rates.Reference(), out, nil
}

// knownPairs are the pairs with ids as the gazetteer has them and no zero day.
func knownPairs(rd *reader, pairs []Pair) ([]Pair, error) {
	out := make([]Pair, len(pairs))
	days := map[calendar.Day]bool{}
	for i, p := range pairs {
		out[i] = Pair{
			Port: rd.port(fmt.Sprintf("pairs[%d].port", i), string(p.Port)),
			Item: rd.item(fmt.Sprintf("pairs[%d].item", i), string(p.Item)).ID, Day: p.Day,
		}
		if p.Day.IsZero() {
			out[i].Day = rd.today
		}
		days[min(out[i].Day, rd.today)] = true
	}
	if len(days) > maxDays {
		rd.faults.add("pairs", fmt.Sprintf("%d days that are over", len(days)), fmt.Sprintf("at most %d different ones", maxDays))
	}
	return out, rd.faults.err("estimates")
}

// maxDays is how many models one call may ask for, and how many are kept.
const maxDays = 16

// Questioned are the reports held back as probable slips until their reporter
// answers, by correcting or withdrawing them.
func (s *Service) Questioned(ctx context.Context) ([]estimate.Questioned, error) {
	m, err := s.model(ctx, s.Today())
	if err != nil {
		return nil, err
	}
	return m.Questioned(), nil
}

// tableOf is what is believed today of every item at every port of an
// itinerary.
func (s *Service) tableOf(ctx context.Context, it route.Itinerary) (*pricing.Table, error) {
	var ports []pricing.PortID
	for _, c := range it.Calls {
		ports = append(ports, c.Port)
	}
	return s.Table(ctx, ports, s.world.Catalogue.Order, s.Today())
}

// Table is what is believed of every port and item named, on a day.
func (s *Service) Table(ctx context.Context, ports []pricing.PortID, items []pricing.ItemID, day calendar.Day) (*pricing.Table, error) {
	m, err := s.model(ctx, min(day, s.Today()))
	if err != nil {
		return nil, err
	}
	return m.Table(ports, items, day), nil
}
