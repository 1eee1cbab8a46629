package api

import (
	"cmp"
	"context"
	"fmt"
	"slices"

	"github.com/google/uuid"

	"hardtack/pricing"
	"hardtack/pricing/estimate"
)

// Asked is a report held back as a probable slip, and why.
type Asked struct {
	Report pricing.Report
	Doubt  estimate.Doubt
	Own    bool // reported here: can be answered here
	Stands bool // its reporter looked again and said it is right
}

// Asked are the reports that are held back from estimates, own ones first,
// then the newest.
func (s *Service) Asked(ctx context.Context) ([]Asked, error) {
	m, err := s.model(ctx, s.Today())
	if err != nil {
		return nil, err
	}
	me, err := s.Me(ctx)
	if err != nil {
		return nil, err
	}
	var out []Asked
	for _, q := range m.Questioned() {
		r, err := s.db.Report(ctx, q.Report)
		if err != nil {
			return nil, err
		}
		d, ask := m.Question(&r)
		if !ask {
			continue // only in the light of what came with it
		}
		a := Asked{Report: r, Doubt: d, Own: r.Reporter == me}
		if r.Replaces != "" {
			old, err := s.db.Report(ctx, r.Replaces)
			if err != nil {
				return nil, err
			}
			a.Stands = old.Paid == r.Paid && old.Pack == r.Pack
		}
		out = append(out, a)
	}
	slices.SortStableFunc(out, func(a, b Asked) int {
		return cmp.Or(compareBool(b.Own, a.Own), cmp.Compare(b.Report.Day, a.Report.Day))
	})
	return out, nil
}

func compareBool(a, b bool) int {
	switch {
	case a == b:
		return 0
	case a:
		return 1
	}
	return -1
}

// Stands answers that a report is right as it is: the same again, in its place,
// which is doubted far less. ErrNotFound when there is no such report of ours,
// ErrStale when it is not asked about any more.
func (s *Service) Stands(ctx context.Context, id string) (Recorded, error) {
	a, err := s.stillAsked(ctx, id)
	if err != nil {
		return Recorded{}, err
	}
	return s.instead(ctx, a.Report, "stands", func(*Entry) {})
}

// Corrected answers that a report meant the correction of that place among
// those asked; as Stands.
func (s *Service) Corrected(ctx context.Context, id string, place int) (Recorded, error) {
	a, err := s.stillAsked(ctx, id)
	if err != nil {
		return Recorded{}, err
	}
	if place < 0 || place >= len(a.Doubt.Corrections) {
		return Recorded{}, ErrStale
	}
	c := a.Doubt.Corrections[place]
	return s.instead(ctx, a.Report, "meant otherwise", func(e *Entry) {
		e.Amount, e.Currency, e.Pack = c.Paid.Decimal(), string(c.Paid.Currency), c.Pack.Format(s.world.Catalogue.Items[a.Report.Item].Unit)
	})
}

func (s *Service) stillAsked(ctx context.Context, id string) (Asked, error) {
	if _, err := s.db.Report(ctx, id); err != nil {
		return Asked{}, err
	}
	all, err := s.Asked(ctx)
	if err != nil {
		return Asked{}, err
	}
	k := slices.IndexFunc(all, func(a Asked) bool { return a.Report.ID == id && a.Own })
	if k < 0 {
		return Asked{}, ErrStale
	}
	return all[k], nil
}

// instead records an own report in the place of an earlier one.
func (s *Service) instead(ctx context.Context, old pricing.Report, why string, change func(*Entry)) (Recorded, error) {
	e := s.EntryOf(old)
	e.ID = uuid.NewSHA1(uuid.NameSpaceURL, fmt.Appendf(nil, "%s %s", why, old.ID)).String()
	e.Replaces = old.ID
	change(&e)
	return s.Record(ctx, e)
}
