package api

import (
	"context"

	"hardtack/db"
	"hardtack/pricing"
	"hardtack/pricing/calendar"
	"hardtack/pricing/estimate"
	"hardtack/route/geo"
)

// evidence gathers what the price model learns from: one report of every so
// many.
func (s *Service) evidence(ctx context.Context, d *db.DB, day calendar.Day, every int) (estimate.Input, error) {
	p, err := s.place(ctx)
	if err != nil {
		return estimate.Input{}, err
	}
	in := estimate.Input{Rates: p.rates, Day: day}
	for _, id := range s.world.Catalogue.Order {
		i := s.world.Catalogue.Items[id]
		in.Items = append(in.Items, estimate.Item{
			ID: i.ID, Category: i.Category, Unit: i.Unit, ListPack: i.ListPack, Packaging: i.Packaging,
			BasePrice: i.BasePrice, BaseLogSD: i.BaseLogSD,
		})
	}
	for _, q := range p.gazetteer.All() {
		in.Ports = append(in.Ports, estimate.Port{ID: q.ID, Country: q.Country, Level: s.world.Levels[q.Country].Level, South: q.Position.Lat < 0})
	}
	in.Apart = func(a, b pricing.PortID) (float64, bool) {
		x, okX := p.gazetteer.Port(a)
		y, okY := p.gazetteer.Port(b)
		return float64(geo.Distance(x.Position, y.Position)), okX && okY
	}
	out, err := s.leftOut(ctx)
	if err != nil {
		return estimate.Input{}, err
	}
	count := 0
	err = d.EachReport(ctx, db.Filter{Published: s.public}, func(r pricing.Report) error {
		if count++; out(r) || count%every != 0 {
			return nil
		}
		in.Reports = append(in.Reports, r)
		return nil
	})
	return in, err
}
