package api

import (
	"context"
	"fmt"

	"hardtack/db"
	"hardtack/pricing/calendar"
	"hardtack/pricing/fx"
	"hardtack/pricing/money"
)

// PutRates keeps rates of exchange beside those the program comes with; a
// later one of the same day holds. The error is ErrInvalid.
func (s *Service) PutRates(ctx context.Context, rates []db.Rate) error {
	var fs faults
	for i, r := range rates {
		path := fmt.Sprintf("rates[%d].", i)
		if err := money.CheckCurrency(r.Currency); err != nil {
			fs.add(path+"currency", quote(string(r.Currency)), "an ISO 4217 code such as GBP")
		}
		if r.Day.IsZero() || r.Day > s.Today()+1 {
			fs.add(path+"day", quote(r.Day.String()), "a day that has come")
		}
		if _, err := s.world.Rates.With([]fx.Rate{rateOf(r)}); err != nil && len(fs) == 0 {
			fs.add(path+"per_reference", fmt.Sprint(r.PerReference), "units of the currency for one "+string(s.world.Rates.Reference())+", above 0")
		}
		if want := wantText(r.Source, maxName); want != "" {
			fs.add(path+"source", quote(r.Source), want)
		}
	}
	if err := fs.err("rates"); err != nil {
		return err
	}
	return s.db.PutRates(ctx, rates)
}

func rateOf(r db.Rate) fx.Rate {
	return fx.Rate{Currency: r.Currency, Day: r.Day, PerReference: r.PerReference}
}

func (s *Service) loadRates(ctx context.Context) (fx.Rates, error) {
	own, err := s.db.Rates(ctx)
	if err != nil {
		return fx.Rates{}, err
	}
	more := make([]fx.Rate, len(own))
	for i, r := range own {
		more[i] = rateOf(r)
	}
	return s.world.Rates.With(more)
}

// RatesOn gives the reference currency and each currency's rate of a day; the
// zero Day is today.
func (s *Service) RatesOn(ctx context.Context, day calendar.Day) (money.Currency, []fx.Rate, error) {
	p, err := s.place(ctx)
	if err != nil {
		return "", nil, err
	}
	if day.IsZero() {
		day = s.Today()
	}
	var out []fx.Rate
	for _, c := range p.rates.Currencies() {
		per, of, err := p.rates.Per(c, day)
		if err != nil {
			return "", nil, err
		}
		out = append(out, fx.Rate{Currency: c, Day: of, PerReference: per})
	}
	return p.rates.Reference(), out, nil
}
