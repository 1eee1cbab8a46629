package api

import (
	"context"
	"errors"
	"maps"
	"slices"

	"hardtack/db"
	"hardtack/pricing/measure"
	"hardtack/route/brief"
	"hardtack/route/risk"
)

// worthOf are walk-away prices by lot: of an item-unit, home currency.
type worthOf map[string]float64

// worthKept are those of what a vessel bought.
func (s *Service) worthKept(ctx context.Context, vesselID string) (worthOf, error) {
	kept, err := get[worthOf](ctx, s, db.KindWorth, vesselID)
	if isNotFound(err) {
		return nil, nil
	}
	return kept.Value, err
}

// keepWorth writes down up to which price the lots of a landing were worth
// buying, as the plan of the voyage had it then; a season looked back on says
// what came of it. Without a plan there is nothing to write.
func (s *Service) keepWorth(ctx context.Context, l Landing) error {
	if l.Voyage == "" {
		return nil
	}
	p, err := s.LastPlan(ctx, l.Voyage)
	if isNotFound(err) {
		return nil
	}
	if err != nil {
		return err
	}
	d, err := s.doubt(ctx, l.Voyage, Briefed{p.Value.Brief, p.Value.Notes})
	if err != nil {
		return err
	}
	fresh := worthOf{}
	for _, e := range l.Lots {
		k := slices.IndexFunc(p.Value.Notes.Items, func(n brief.ItemNote) bool { return string(n.Item) == e.Item })
		if k < 0 || e.Paid == "" || e.ID == "" {
			continue
		}
		note := p.Value.Notes.Items[k]
		rungs, err := risk.Ladder(p.Value.Brief, d, note.ID, l.Stop)
		if errors.Is(err, risk.ErrInput) {
			continue // nothing is carried away from the last stop
		}
		if err != nil {
			return err
		}
		q, err := measure.ParsePack(e.Amount, note.Unit)
		if err != nil {
			continue // said by whoever takes the lot
		}
		if limit, ok := worthWaiting(rungs, q.Units()); ok {
			fresh[e.ID] = limit
		}
	}
	return s.addWorth(ctx, l.Vessel, fresh)
}

// worthWaiting is the walk-away price of so much, eaten as it comes: the mean
// over the stretches in which one could have waited.
func worthWaiting(rungs []risk.Rung, amount float64) (float64, bool) {
	sum, units := 0.0, 0.0
	for _, r := range rungs {
		q := min(amount, r.Amount)
		amount -= q
		if !r.Must && !r.Without {
			sum += q * r.UpTo
			units += q
		}
	}
	if units <= 0 {
		return 0, false
	}
	return sum / units, true
}

func (s *Service) addWorth(ctx context.Context, vesselID string, fresh worthOf) error {
	for n := 0; len(fresh) > 0; n++ {
		kept, err := get[worthOf](ctx, s, db.KindWorth, vesselID)
		if err != nil && !isNotFound(err) {
			return err
		}
		all := worthOf{}
		maps.Copy(all, fresh)
		maps.Copy(all, kept.Value) // what was written first stands
		_, err = put(ctx, s, db.KindWorth, vesselID, all, kept.Revision)
		if !errors.Is(err, ErrStale) && !errors.Is(err, ErrConflict) || n == 5 {
			return err
		}
	}
	return nil
}
