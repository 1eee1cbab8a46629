package api

import (
	"context"
	"errors"
	"fmt"

	"hardtack/pricing"
	"hardtack/route/ahead"
	"hardtack/route/shopping"
)

// EveryStop asks for the lists of all stops.
const EveryStop = -1

// List makes the shopping lists of a voyage's last plan: of one stop of its
// brief, or of EveryStop. Errors: ErrNotFound (no plan, no such stop).
func (s *Service) List(ctx context.Context, voyage string, stop int) (shopping.Lists, error) {
	p, err := s.LastPlan(ctx, voyage)
	if err != nil {
		return shopping.Lists{}, err
	}
	return s.ListOf(p.Value, stop)
}

// ListOf makes the lists of a plan that need not be kept.
func (s *Service) ListOf(p Planned, stop int) (shopping.Lists, error) {
	if stop != EveryStop && (stop < 0 || stop >= len(p.Brief.Stops)) {
		return shopping.Lists{}, fmt.Errorf("stop %d of voyage %s: %w, it has %d, counted from 0", stop, p.Voyage, ErrNotFound, len(p.Brief.Stops))
	}
	all := shopping.FromPlan(shopping.Input{
		Title: p.Title, Brief: p.Brief, Plan: p.Plan, Notes: p.Notes, Catalogue: s.world.Catalogue, Crew: p.Crew,
	})
	if stop == EveryStop {
		return all, nil
	}
	var one []shopping.List
	for _, l := range all.Lists {
		if l.Stop == stop {
			one = append(one, l)
		}
	}
	all.Lists = one
	return all, nil
}

// AheadItem says where along the rest of a voyage an item is sold, asked from
// one of its stops. Errors: ErrNotFound (voyage, item or stop).
func (s *Service) AheadItem(ctx context.Context, voyage string, id pricing.ItemID, from int) (ahead.Answer, error) {
	in, err := s.aheadInput(ctx, voyage, from)
	if err != nil {
		return ahead.Answer{}, err
	}
	a, err := ahead.Item(in, id)
	return a, unknown(err)
}

// AheadNeed is AheadItem for whatever serves a need.
func (s *Service) AheadNeed(ctx context.Context, voyage, need string, from int) (ahead.Answer, error) {
	in, err := s.aheadInput(ctx, voyage, from)
	if err != nil {
		return ahead.Answer{}, err
	}
	a, err := ahead.Need(in, need)
	return a, unknown(err)
}

func (s *Service) aheadInput(ctx context.Context, voyage string, from int) (ahead.Input, error) {
	v, err := s.Voyage(ctx, voyage)
	if err != nil {
		return ahead.Input{}, err
	}
	it, err := s.settle(ctx, v.Value)
	if err != nil {
		return ahead.Input{}, err
	}
	set, err := s.Settings(ctx, voyage)
	if err != nil {
		return ahead.Input{}, err
	}
	in, err := s.input(ctx, v.Value, it, set.Value)
	if err != nil {
		return ahead.Input{}, err
	}
	return ahead.Input{
		Itinerary: it, Ports: in.Ports, Catalogue: in.Catalogue, Prices: in.Prices, Vessel: in.Vessel,
		Home: in.Home, Rate: in.Rate, From: from, Today: in.Today,
	}, nil
}

// unknown makes what the core does not know a thing that is not there.
func unknown(err error) error {
	if errors.Is(err, ahead.ErrUnknown) {
		return fmt.Errorf("%w: %w", ErrNotFound, err)
	}
	return err
}
