package api

import (
	"context"

	"hardtack/pricing"
	"hardtack/pricing/estimate"
	"hardtack/pricing/money"
)

// Why says what is behind the estimate of an item at a port today, and the
// reference currency it is in. The error is ErrInvalid for an unknown port or
// item.
func (s *Service) Why(ctx context.Context, port pricing.PortID, it pricing.ItemID) (money.Currency, estimate.Explanation, error) {
	rd, err := s.reader(ctx)
	if err != nil {
		return "", estimate.Explanation{}, err
	}
	pairs, err := knownPairs(rd, []Pair{{Port: port, Item: it}})
	if err != nil {
		return "", estimate.Explanation{}, err
	}
	m, err := s.model(ctx, s.Today())
	if err != nil {
		return "", estimate.Explanation{}, err
	}
	return rd.place.rates.Reference(), m.Explain(pairs[0].Port, pairs[0].Item), nil
}
