package api

import (
	"context"
	"errors"
	"maps"
	"time"

	"hardtack/db"
	"hardtack/pricing/calendar"
	"hardtack/pricing/estimate"
)

// beliefs are the models fitted since the last change, by day. Once others can
// see them they stay as they are.
type beliefs struct {
	at     int64
	models map[calendar.Day]believer
}

// model is what is believed on a day. It is fitted anew only after a change of
// what it rests on. On a server of many boats whoever asks while that is done
// is told what was believed before.
func (s *Service) model(ctx context.Context, day calendar.Day) (believer, error) {
	d := s.db.Far(ctx)
	at, err := s.evidenceAt(ctx, d)
	if err != nil {
		return nil, err
	}
	old := s.beliefs.Load()
	if d != s.db && at < old.at {
		at = old.at // the copy is behind what was already seen
	}
	if m := old.models[day]; m != nil && old.at == at {
		return m, nil
	}
	if m := old.models[day]; s.public && m != nil {
		if !s.fitting.TryLock() {
			return m, nil
		}
	} else {
		s.fitting.Lock()
	}
	defer s.fitting.Unlock()
	return s.modelAt(ctx, d, at, day)
}

// evidenceAt is the last change of what is believed from.
func (s *Service) evidenceAt(ctx context.Context, d *db.DB) (int64, error) {
	if !s.public {
		return d.Change(ctx, db.KindReport, db.KindRate, db.KindPort)
	}
	return d.LastPublished(ctx, db.KindRate, db.KindPort)
}

// modelAt fits, unless another one just did. Of several servers on one database
// one fits at a time.
func (s *Service) modelAt(ctx context.Context, d *db.DB, at int64, day calendar.Day) (believer, error) {
	for wait := 20 * time.Millisecond; ; wait = min(2*wait, time.Second) {
		old := s.beliefs.Load()
		if m := old.models[day]; m != nil && old.at >= at {
			return m, nil
		}
		next := beliefs{at, map[calendar.Day]believer{}}
		if old.at == at && len(old.models) <= maxDays {
			maps.Copy(next.models, old.models)
		}
		fit := func(ctx context.Context) error { return s.fitInto(ctx, d, &next, old, day) }
		ran, err := true, error(nil)
		if s.public {
			ran, err = s.db.Alone(ctx, "fit", fit)
		} else {
			err = fit(ctx)
		}
		switch {
		case err != nil:
			return nil, err
		case ran:
			s.beliefs.Store(&next)
			return next.models[day], nil
		case old.models[day] != nil:
			return old.models[day], nil
		}
		select {
		case <-ctx.Done():
			return nil, ctx.Err()
		case <-time.After(wait):
		}
	}
}

// fitInto adds what is believed on a day to the next beliefs. Sums that only
// have to take in new reports are not begun anew.
func (s *Service) fitInto(ctx context.Context, d *db.DB, next, old *beliefs, day calendar.Day) error {
	today := s.Today()
	if c := old.crowd(today); c != nil && next.models[today] == nil {
		places, err := d.Change(ctx, db.KindRate, db.KindPort)
		if err != nil {
			return err
		}
		if places <= old.at {
			if err := s.take(ctx, d, c, next.at, today); err != nil {
				return err
			}
			next.models[today] = c
		}
	}
	if next.models[day] != nil {
		return nil
	}
	m, err := s.fitted(ctx, d, next.at, day)
	if err != nil {
		return err
	}
	next.models[day] = m
	return nil
}

// crowd are the sums that can be gone on with today; nil: none.
func (b *beliefs) crowd(today calendar.Day) *crowd {
	for _, m := range b.models {
		if c, ok := m.(*crowd); ok && !c.torn && mayServe(c.began, c.day, today) {
			return c
		}
	}
	return nil
}

// fitted fits what is believed on a day, as of a change.
func (s *Service) fitted(ctx context.Context, d *db.DB, at int64, day calendar.Day) (believer, error) {
	if day == s.Today() {
		c, err := s.keptCrowd(ctx, at, day)
		if err == nil {
			if err = s.take(ctx, d, c, at, day); err == nil {
				return c, nil
			}
		}
		if !errors.Is(err, errNotKept) {
			return nil, err
		}
	}
	n, err := d.CountReports(ctx, db.Filter{Published: s.public, Until: at})
	if err != nil {
		return nil, err
	}
	every := 1
	if n > s.many {
		every = 1 + n/sampleReports
	}
	in, err := s.evidence(ctx, day)
	if err != nil {
		return nil, err
	}
	if in.Reports, err = s.reported(ctx, d, at, every); err != nil {
		return nil, err
	}
	if n > s.many && day == s.Today() {
		return s.newCrowd(ctx, d, in, at, n)
	}
	return estimate.Fit(in), nil
}

// recentModel is what was believed of today when it was last asked for: good
// enough to ask about a slip, and free.
func (s *Service) recentModel(ctx context.Context) (believer, error) {
	today := s.Today()
	if m := s.beliefs.Load().models[today]; m != nil {
		return m, nil
	}
	return s.model(ctx, today)
}
