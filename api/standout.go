package api

import (
	"context"

	"hardtack/pricing/estimate"
)

// Standouts are the reporters whose prices are not those of the others, for a
// person to look at.
func (s *Service) Standouts(ctx context.Context) ([]estimate.Standout, error) {
	m, err := s.model(ctx, s.Today())
	if err != nil {
		return nil, err
	}
	return m.Standouts(), nil
}
