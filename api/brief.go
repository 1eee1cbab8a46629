package api

import (
	"context"
	"errors"
	"fmt"
	"sync"

	"hardtack/pricing/calendar"
	"hardtack/pricing/money"
	"hardtack/pricing/wording"
	"hardtack/route"
	"hardtack/route/brief"
	"hardtack/route/plan"
	"hardtack/route/vessel"
)

// Briefed is a brief with the notes that explain it.
type Briefed struct {
	Brief plan.Brief  `json:"brief"`
	Notes brief.Notes `json:"notes"`
}

// Brief builds the brief of a voyage. Errors: ErrNotFound (the voyage),
// ErrInvalid (no vessel or crew, or what cannot be planned with).
func (s *Service) Brief(ctx context.Context, voyage string) (Briefed, error) {
	b, err := s.boarded(ctx, voyage)
	if err != nil {
		return Briefed{}, err
	}
	return b.briefed, nil
}

// boarded is a voyage with all that its brief was built from.
type boarded struct {
	voyage    route.Voyage
	itinerary route.Itinerary
	crew      vessel.Crew
	briefed   Briefed
	habits    func() ([]Habit, error) // worked out once
}

func (s *Service) boarded(ctx context.Context, voyage string) (boarded, error) {
	v, it, set, err := s.settled(ctx, voyage)
	if err != nil {
		return boarded{}, err
	}
	return s.board(ctx, v, it, set)
}

// settled is a voyage as kept, with its stops dated and how it is planned.
func (s *Service) settled(ctx context.Context, voyage string) (route.Voyage, route.Itinerary, Settings, error) {
	v, err := s.Voyage(ctx, voyage)
	if err != nil {
		return route.Voyage{}, route.Itinerary{}, Settings{}, err
	}
	set, err := s.Settings(ctx, voyage)
	if err != nil {
		return route.Voyage{}, route.Itinerary{}, Settings{}, err
	}
	it, err := s.settle(ctx, v.Value)
	return v.Value, it, set.Value, err
}

// board builds the brief of an itinerary, the whole of a voyage or what is
// left of it.
func (s *Service) board(ctx context.Context, v route.Voyage, it route.Itinerary, set Settings) (boarded, error) {
	in, err := s.input(ctx, v, it, set)
	if err != nil {
		return boarded{}, err
	}
	rates, err := s.rates(ctx, in.Vessel.ID, in.Crew.ID)
	if err != nil {
		return boarded{}, err
	}
	in.Catalogue = rates.Apply(s.world.Catalogue)
	if err := s.learnedTanks(ctx, &in); err != nil {
		return boarded{}, err
	}
	b, notes, err := brief.Build(in)
	if errors.Is(err, brief.ErrInput) || errors.Is(err, vessel.ErrInvalid) {
		return boarded{}, invalid("voyage "+v.ID, err)
	}
	if err != nil {
		return boarded{}, fmt.Errorf("build the brief of voyage %s: %w", v.ID, err)
	}
	for _, l := range rates.Lines(s.world.Catalogue, seasonOf(in.Crew, personDays(in.Crew, it))) {
		notes.Said = append(notes.Said, wording.Say("usage.learned", wording.Said(l.Said)))
	}
	return boarded{v, it, in.Crew, Briefed{b, notes}, sync.OnceValues(func() ([]Habit, error) { return habits(b) })}, nil
}

// personDays are those of a whole voyage.
func personDays(crew vessel.Crew, it route.Itinerary) float64 {
	if len(it.Calls) == 0 {
		return 0
	}
	return crew.PersonDays(it.Start, 0, it.Calls[len(it.Calls)-1].Depart, vessel.Heads)
}

// input gathers what a brief is built from.
func (s *Service) input(ctx context.Context, v route.Voyage, it route.Itinerary, set Settings) (brief.Input, error) {
	boat, err := only(ctx, "vessel", set.Vessel, s.Vessel, s.Vessels)
	if err != nil {
		return brief.Input{}, err
	}
	crew, err := only(ctx, "crew", set.Crew, s.Crew, s.Crews)
	if err != nil {
		return brief.Input{}, err
	}
	lots, _, err := s.db.Lots(ctx, boat.ID)
	if err != nil {
		return brief.Input{}, err
	}
	p, err := s.place(ctx)
	if err != nil {
		return brief.Input{}, err
	}
	table, err := s.tableOf(ctx, it)
	if err != nil {
		return brief.Input{}, err
	}
	return brief.Input{
		Itinerary: it, Ports: p.gazetteer, Rules: s.world.Rules, Vessel: boat, Crew: crew, Lots: lots,
		Catalogue: s.world.Catalogue, Prices: table, Home: v.Home, Rate: s.rate(p), Wishes: set.Wishes,
		Today: s.Today(), Options: set.Options,
	}, nil
}

// rate is today's rate of exchange.
func (s *Service) rate(p *place) brief.Rate {
	today := s.Today()
	return func(c money.Currency) (float64, calendar.Day, error) { return p.rates.Per(c, today) }
}

// only is the one named, or the only one there is.
func only[T any](ctx context.Context, kind, id string, get func(context.Context, string) (Kept[T], error),
	all func(context.Context) ([]Kept[T], error)) (T, error) {
	var none T
	if id != "" {
		k, err := get(ctx, id)
		return k.Value, err
	}
	ks, err := all(ctx)
	if err != nil {
		return none, err
	}
	if len(ks) != 1 {
		var fs faults
		fs.add(kind, fmt.Sprintf("none named and %d there", len(ks)), "exactly one, or one named in the voyage's settings")
		return none, fs.err("settings")
	}
	return ks[0].Value, nil
}
