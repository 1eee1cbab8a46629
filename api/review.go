package api

import (
	"context"

	"hardtack/pricing"
	"hardtack/pricing/calendar"
	"hardtack/pricing/money"
	"hardtack/pricing/wording"
	"hardtack/route/inventory"
	"hardtack/route/review"
	"hardtack/route/vessel"
)

// ReviewOptions say which stretch to look back on, and for whom.
type ReviewOptions struct {
	From calendar.Day   // zero: the first line of the stores book
	To   calendar.Day   // zero: today
	Crew string         // empty: the only crew
	Home money.Currency // empty: that of the only voyage, else EUR
}

// Review looks back on a stretch of days: what was used, spent and lost, and
// what to write on the next list. Errors: ErrNotFound, ErrInvalid.
func (s *Service) Review(ctx context.Context, vesselID string, o ReviewOptions) (review.Review, error) {
	in, err := s.reviewInput(ctx, vesselID, o)
	if err != nil {
		return review.Review{}, err
	}
	return review.Of(in), nil
}

// Ledger is what passed between this boat and others, and who owes what.
func (s *Service) Ledger(ctx context.Context, vesselID string) ([]review.Account, error) {
	moves, err := s.Moves(ctx, vesselID, 0, 0)
	if err != nil {
		return nil, err
	}
	return review.Ledger(moves, s.world.Catalogue), nil
}

func (s *Service) reviewInput(ctx context.Context, vesselID string, o ReviewOptions) (review.Input, error) {
	in := review.Input{From: o.From, To: o.To, Catalogue: s.world.Catalogue, Marks: map[pricing.ItemID]inventory.Mark{}}
	if in.To.IsZero() {
		in.To = s.Today()
	}
	var err error
	if in.Moves, err = s.Moves(ctx, vesselID, 0, in.To); err != nil {
		return in, err
	}
	if in.From.IsZero() {
		in.From = in.To
		for _, m := range in.Moves {
			in.From = min(in.From, m.Day)
		}
	}
	if in.From > in.To {
		var fs faults
		fs.say("from", wording.Say("fault.day_before", wording.Day(in.From), wording.Day(in.To)))
		return in, fs.err("review")
	}
	crew, err := s.crewFor(ctx, o.Crew)
	if err != nil {
		return in, err
	}
	in.Heads = func(from, to calendar.Day) float64 { return crew.PersonDays(from, 0, float64(to-from), vessel.Heads) }
	if in.Records, err = s.db.Usage(ctx, vesselID, crew.ID); err != nil {
		return in, err
	}
	if in.Rates, err = s.rates(ctx, vesselID, crew.ID); err != nil {
		return in, err
	}
	if in.Log, err = s.db.Log(ctx, vesselID, in.From, in.To); err != nil {
		return in, err
	}
	if err := s.marks(ctx, vesselID, in); err != nil {
		return in, err
	}
	if in.Worth, err = s.worthKept(ctx, vesselID); err != nil {
		return in, err
	}
	in.Home, err = s.homeMoney(ctx, o.Home)
	return in, err
}

// marks are what the counts of the stretch said, the last of each item.
func (s *Service) marks(ctx context.Context, vesselID string, in review.Input) error {
	counts, err := s.db.Counts(ctx, vesselID)
	for _, c := range counts {
		for _, l := range c.Lines {
			if c.Day >= in.From && c.Day <= in.To && l.Mark != "" {
				in.Marks[l.Item] = l.Mark
			}
		}
	}
	return err
}

// homeMoney turns what was paid into the home currency of the day.
func (s *Service) homeMoney(ctx context.Context, home money.Currency) (func(money.Amount, calendar.Day) (float64, bool), error) {
	p, err := s.place(ctx)
	if err != nil {
		return nil, err
	}
	if home == "" {
		home = "EUR"
		if all, err := s.Voyages(ctx); err == nil && len(all) == 1 {
			home = all[0].Value.Home
		}
	}
	if _, _, err := p.rates.Per(home, s.Today()); err != nil {
		var fs faults
		fs.add("home", quote(string(home)), "a currency with a rate of exchange")
		return nil, fs.err("review")
	}
	return func(a money.Amount, day calendar.Day) (float64, bool) {
		if a.Minor == 0 {
			return 0, false
		}
		paid, _, err := p.rates.Per(a.Currency, day)
		own, _, err2 := p.rates.Per(home, day)
		if err != nil || err2 != nil || paid <= 0 {
			return 0, false
		}
		return a.Float() / paid * own, true
	}, nil
}
