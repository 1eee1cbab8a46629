package api

import (
	"context"
	"fmt"
	"maps"
	"time"

	"hardtack/db"
	"hardtack/pricing"
	"hardtack/pricing/calendar"
	"hardtack/pricing/estimate"
	"hardtack/pricing/money"
	"hardtack/route"
	"hardtack/route/geo"
)

// Pair asks for an estimate.
type Pair struct {
	Port pricing.PortID `json:"port"`
	Item pricing.ItemID `json:"item"`
	Day  calendar.Day   `json:"day,omitzero"` // believed about; zero is today
}

// Estimates gives what is believed of pairs, in their order, and the reference
// currency it is in. Reports later than a pair's day are not used for it. The
// error is ErrInvalid for a port or item that is not known, or more than
// maxDays different days.
func (s *Service) Estimates(ctx context.Context, pairs []Pair) (money.Currency, []pricing.Estimate, error) {
	pairs, err := s.knownPairs(ctx, pairs)
	if err != nil {
		return "", nil, err
	}
	p, err := s.place(ctx)
	if err != nil {
		return "", nil, err
	}
	out := make([]pricing.Estimate, len(pairs))
	models, today := map[calendar.Day]believer{}, s.Today()
	for i, q := range pairs {
		day := min(q.Day, today)
		if models[day] == nil {
			if models[day], err = s.model(ctx, day); err != nil {
				return "", nil, err
			}
		}
		out[i] = models[day].At(q.Port, q.Item, q.Day)
	}
	return p.rates.Reference(), out, nil
}

// knownPairs are the pairs with ids as the gazetteer has them and no zero day.
func (s *Service) knownPairs(ctx context.Context, pairs []Pair) ([]Pair, error) {
	rd, err := s.reader(ctx)
	if err != nil {
		return nil, err
	}
	out := make([]Pair, len(pairs))
	days := map[calendar.Day]bool{}
	for i, p := range pairs {
		out[i] = Pair{
			Port: rd.port(fmt.Sprintf("pairs[%d].port", i), string(p.Port)),
			Item: rd.item(fmt.Sprintf("pairs[%d].item", i), string(p.Item)).ID, Day: p.Day,
		}
		if p.Day.IsZero() {
			out[i].Day = rd.today
		}
		days[min(out[i].Day, rd.today)] = true
	}
	if len(days) > maxDays {
		rd.faults.add("pairs", fmt.Sprintf("%d days that are over", len(days)), fmt.Sprintf("at most %d different ones", maxDays))
	}
	return out, rd.faults.err("estimates")
}

// maxDays is how many models one call may ask for, and how many are kept.
const maxDays = 16

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
	told, err := d.LastPublished(ctx)
	if err != nil {
		return 0, err
	}
	places, err := d.Change(ctx, db.KindRate, db.KindPort)
	return max(told, places), err
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
	if c, many := old.models[today].(*crowd); many && next.models[today] == nil {
		places, err := d.Change(ctx, db.KindRate, db.KindPort)
		if err != nil {
			return err
		}
		if places <= old.at {
			if err := s.take(ctx, d, c, old.at); err != nil {
				return err
			}
			next.models[today] = c
		}
	}
	if next.models[day] != nil {
		return nil
	}
	m, err := s.fitted(ctx, d, day)
	if err != nil {
		return err
	}
	next.models[day] = m
	return nil
}

// fitted fits what is believed on a day.
func (s *Service) fitted(ctx context.Context, d *db.DB, day calendar.Day) (believer, error) {
	n, err := d.CountReports(ctx, db.Filter{Published: s.public})
	if err != nil {
		return nil, err
	}
	every := 1
	if n > s.many {
		every = 1 + n/sampleReports
	}
	in, err := s.evidence(ctx, d, day, every)
	if err != nil {
		return nil, err
	}
	if n > s.many && day == s.Today() {
		return s.newCrowd(ctx, d, in, n)
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
			ID: i.ID, Category: i.Category, Unit: i.Unit, ListPack: i.ListPack, BasePrice: i.BasePrice, BaseLogSD: i.BaseLogSD,
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

// Questioned are the reports held back as probable slips until their reporter
// answers, by correcting or withdrawing them.
func (s *Service) Questioned(ctx context.Context) ([]estimate.Questioned, error) {
	m, err := s.model(ctx, s.Today())
	if err != nil {
		return nil, err
	}
	return m.Questioned(), nil
}

// tableOf is what is believed today of every item at every port of an
// itinerary.
func (s *Service) tableOf(ctx context.Context, it route.Itinerary) (*pricing.Table, error) {
	var ports []pricing.PortID
	for _, c := range it.Calls {
		ports = append(ports, c.Port)
	}
	return s.Table(ctx, ports, s.world.Catalogue.Order, s.Today())
}

// Table is what is believed of every port and item named, on a day.
func (s *Service) Table(ctx context.Context, ports []pricing.PortID, items []pricing.ItemID, day calendar.Day) (*pricing.Table, error) {
	m, err := s.model(ctx, min(day, s.Today()))
	if err != nil {
		return nil, err
	}
	return m.Table(ports, items, day), nil
}
