package api

import (
	"context"
	"fmt"
	"io"
	"strings"

	"hardtack/db"
	"hardtack/pricing/money"
	"hardtack/pricing/wording"
	"hardtack/route"
	"hardtack/route/brief"
	"hardtack/route/passage"
)

// Voyage gives a voyage, ErrNotFound when there is none of that id.
func (s *Service) Voyage(ctx context.Context, id string) (Kept[route.Voyage], error) {
	return get[route.Voyage](ctx, s, db.KindVoyage, id)
}

// Voyages gives all of them by id.
func (s *Service) Voyages(ctx context.Context) ([]Kept[route.Voyage], error) {
	return list[route.Voyage](ctx, s, db.KindVoyage)
}

// PutVoyage keeps a voyage that can be settled: ports known, dates in order.
// Errors: ErrInvalid, ErrStale, ErrConflict (expected Absent).
func (s *Service) PutVoyage(ctx context.Context, v route.Voyage, expect int64) (Kept[route.Voyage], error) {
	if err := s.checkVoyage(ctx, v); err != nil {
		return Kept[route.Voyage]{}, err
	}
	if _, err := s.settle(ctx, v); err != nil {
		return Kept[route.Voyage]{}, err
	}
	return put(ctx, s, db.KindVoyage, v.ID, v, expect)
}

func (s *Service) checkVoyage(ctx context.Context, v route.Voyage) error {
	p, err := s.place(ctx)
	if err != nil {
		return err
	}
	rd := &reader{place: p, catalogue: s.world.Catalogue, today: s.Today()}
	checkID(&rd.faults, "id", v.ID)
	rd.text("name", v.Name, maxName)
	if err := money.CheckCurrency(v.Home); err != nil {
		rd.faults.add("home", quote(string(v.Home)), "the ISO 4217 code of the skipper's own currency")
	} else if _, _, err := p.rates.Per(v.Home, s.Today()); err != nil {
		rd.faults.add("home", quote(string(v.Home)), "a currency with a rate of exchange")
	}
	if n := len(v.Stops); n < 2 || n > maxStops {
		rd.faults.add("stops", fmt.Sprintf("%d", n), fmt.Sprintf("2 to %d", maxStops))
	}
	for i, stop := range v.Stops {
		rd.port(fmt.Sprintf("stops[%d].port", i), string(stop.Port))
	}
	return rd.faults.err("voyage " + v.ID)
}

// maxStops is more than a season has.
const maxStops = 200

// DeleteVoyage takes a voyage away with its settings and its plan.
func (s *Service) DeleteVoyage(ctx context.Context, id string, expect int64) error {
	return s.db.Delete(ctx, db.KindVoyage, id, expect, db.KindSettings, db.KindPlan)
}

// Itinerary settles every date and distance of a voyage.
func (s *Service) Itinerary(ctx context.Context, id string) (route.Itinerary, error) {
	v, err := s.Voyage(ctx, id)
	if err != nil {
		return route.Itinerary{}, err
	}
	return s.settle(ctx, v.Value)
}

func (s *Service) settle(ctx context.Context, v route.Voyage) (route.Itinerary, error) {
	p, err := s.place(ctx)
	if err != nil {
		return route.Itinerary{}, err
	}
	coast, err := s.world.Coast()
	if err != nil {
		return route.Itinerary{}, fmt.Errorf("coastline: %w", err)
	}
	it, err := passage.Settle(v, s.Today(), p.gazetteer, coast)
	if err != nil {
		return route.Itinerary{}, invalid("voyage "+v.ID, err)
	}
	return it, nil
}

// ImportGPX reads a route into a voyage without keeping it: the skipper looks
// at it first. The notes say what was assumed.
func (s *Service) ImportGPX(ctx context.Context, r io.Reader) (route.Voyage, []wording.Remark, error) {
	p, err := s.place(ctx)
	if err != nil {
		return route.Voyage{}, nil, err
	}
	v, notes, err := passage.ReadGPX(r, p.gazetteer)
	if err != nil {
		return route.Voyage{}, nil, invalid("GPX route", err)
	}
	return v, notes, nil
}

// Settings are what a voyage is planned with.
type Settings struct {
	Vessel  string        `json:"vessel,omitempty"` // empty: the only one there is
	Crew    string        `json:"crew,omitempty"`
	Options brief.Options `json:"options,omitzero"`
	Wishes  []brief.Wish  `json:"wishes,omitempty"`
}

// Settings gives a voyage's settings; a voyage without has none kept and gets
// the zero value with revision Absent.
func (s *Service) Settings(ctx context.Context, voyage string) (Kept[Settings], error) {
	if _, err := s.Voyage(ctx, voyage); err != nil {
		return Kept[Settings]{}, err
	}
	kept, err := get[Settings](ctx, s, db.KindSettings, voyage)
	if isNotFound(err) {
		return Kept[Settings]{}, nil
	}
	return kept, err
}

// PutSettings keeps a voyage's settings. Vessel, crew, items and ports named
// must be there.
func (s *Service) PutSettings(ctx context.Context, voyage string, set Settings, expect int64) (Kept[Settings], error) {
	if _, err := s.Voyage(ctx, voyage); err != nil {
		return Kept[Settings]{}, err
	}
	if err := s.checkSettings(ctx, set); err != nil {
		return Kept[Settings]{}, err
	}
	return put(ctx, s, db.KindSettings, voyage, set, expect)
}

func (s *Service) checkSettings(ctx context.Context, set Settings) error {
	rd, err := s.reader(ctx)
	if err != nil {
		return err
	}
	if set.Vessel != "" {
		if _, err := s.Vessel(ctx, set.Vessel); err != nil {
			rd.faults.add("vessel", quote(set.Vessel), "the id of a vessel")
		}
	}
	if set.Crew != "" {
		if _, err := s.Crew(ctx, set.Crew); err != nil {
			rd.faults.add("crew", quote(set.Crew), "the id of a crew")
		}
	}
	for i, w := range set.Wishes {
		rd.wish(fmt.Sprintf("wishes[%d].", i), w)
	}
	return rd.faults.err("settings")
}

func (rd *reader) wish(prefix string, w brief.Wish) {
	rd.item(prefix+"item", string(w.Item))
	if w.Port != "" {
		rd.port(prefix+"port", string(w.Port))
	}
	switch {
	case w.Never && w.Least != 0:
		rd.faults.add(prefix+"least", fmt.Sprint(w.Least), "nothing beside never")
	case !w.Never && w.Port == "":
		rd.faults.add(prefix+"port", "nothing", "the port where so much is wanted")
	case !w.Never && !(w.Least > 0 && w.Least <= maxPack):
		rd.faults.add(prefix+"least", fmt.Sprint(w.Least), fmt.Sprintf("above 0 and at most %d", maxPack))
	}
}

// Wish adds a wish to a voyage's settings, in place of one of the same item,
// port and sort.
func (s *Service) Wish(ctx context.Context, voyage string, w brief.Wish) (Kept[Settings], error) {
	kept, err := s.Settings(ctx, voyage)
	if err != nil {
		return kept, err
	}
	kept.Value.Wishes = append(without(kept.Value.Wishes, w), w)
	return s.PutSettings(ctx, voyage, kept.Value, kept.Revision)
}

// Unwish takes away what Wish added; ErrNotFound when it is not there.
func (s *Service) Unwish(ctx context.Context, voyage string, w brief.Wish) (Kept[Settings], error) {
	kept, err := s.Settings(ctx, voyage)
	if err != nil {
		return kept, err
	}
	left := without(kept.Value.Wishes, w)
	if len(left) == len(kept.Value.Wishes) {
		return kept, fmt.Errorf("wish for %s: %w; nothing was changed", strings.TrimSpace(string(w.Item)+" "+string(w.Port)), ErrNotFound)
	}
	kept.Value.Wishes = left
	return s.PutSettings(ctx, voyage, kept.Value, kept.Revision)
}

func without(ws []brief.Wish, w brief.Wish) []brief.Wish {
	var out []brief.Wish
	for _, old := range ws {
		if old.Item != w.Item || old.Port != w.Port || old.Never != w.Never {
			out = append(out, old)
		}
	}
	return out
}
