package api

import (
	"context"

	"hardtack/route"
	"hardtack/route/geo"
)

// Tracks are the ways of a voyage for drawing, one for each leg: from port to
// port, bent around the coast where a way over water was found. Not for
// navigation.
func (s *Service) Tracks(ctx context.Context, v route.Voyage) ([][]geo.Position, error) {
	p, err := s.place(ctx)
	if err != nil {
		return nil, err
	}
	coast, err := s.world.Coast()
	if err != nil {
		return nil, err
	}
	var out [][]geo.Position
	for i := range max(0, len(v.Stops)-1) {
		from, ok := p.gazetteer.Port(v.Stops[i].Port)
		to, ok2 := p.gazetteer.Port(v.Stops[i+1].Port)
		if !ok || !ok2 {
			out = append(out, nil)
			continue
		}
		sea := append([]geo.Position{from.Approach}, v.Stops[i].Leg.Via...)
		sea = append(sea, to.Approach)
		if _, way, err := coast.OverWaterWithin(sea, 3*geo.Along(sea)+100); err == nil {
			sea = way
		}
		way := append([]geo.Position{from.Position}, sea...)
		out = append(out, append(way, to.Position))
	}
	return out, nil
}
