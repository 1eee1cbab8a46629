package api

import (
	"context"

	"hardtack/db"
	"hardtack/pricing"
	"hardtack/pricing/calendar"
	"hardtack/pricing/estimate"
	"hardtack/route/geo"
)

// evidence is what the price model must know to learn, but for the reports.
func (s *Service) evidence(ctx context.Context, day calendar.Day) (estimate.Input, error) {
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
	return in, nil
}

// reported gathers the reports the price model learns from, as of a change: one
// of every so many.
func (s *Service) reported(ctx context.Context, d *db.DB, at int64, every int) (some []pricing.Report, err error) {
	out, err := s.leftOut(ctx)
	if err != nil {
		return nil, err
	}
	count := 0
	err = d.EachReport(ctx, db.Filter{Published: s.public, Until: at}, func(r pricing.Report) error {
		if count++; out(r) || count%every != 0 {
			return nil
		}
		some = append(some, r)
		return nil
	})
	return some, err
}
