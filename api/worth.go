package api

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"slices"

	"hardtack/pricing/calendar"
	"hardtack/pricing/measure"
	"hardtack/route/brief"
	"hardtack/route/risk"
)

// Worth is up to which price a thing is worth buying at a stop rather than
// waiting for the ports ahead.
type Worth struct {
	Item     string       `json:"item"` // of the brief
	Name     string       `json:"name"`
	Unit     measure.Unit `json:"unit"`
	Stop     int          `json:"stop"`
	Port     string       `json:"port"`
	Currency string       `json:"currency"` // of the prices, the skipper's own
	Expected float64      `json:"expected"` // price of a unit there; 0 = not offered
	Local    float64      `json:"local"`    // of the port's currency to one of the skipper's; 0 = not known
	Rungs    []WorthRung  `json:"rungs"`
}

// WorthRung is a stretch of the season and what a unit eaten in it is worth.
type WorthRung struct {
	risk.Rung
	FirstDay calendar.Day `json:"first_day"`
	LastDay  calendar.Day `json:"last_day"`
}

// Worth looks an item, by its id in the catalogue or the brief, up in a
// voyage's last plan. Errors: ErrNotFound (no plan, no such item in it or stop
// to carry it away from).
func (s *Service) Worth(ctx context.Context, voyage, item string, stop int) (Worth, error) {
	kept, err := s.LastPlan(ctx, voyage)
	if err != nil {
		return Worth{}, err
	}
	p := kept.Value
	k := slices.IndexFunc(p.Notes.Items, func(n brief.ItemNote) bool { return n.ID == item || string(n.Item) == item })
	if k < 0 {
		return Worth{}, fmt.Errorf("item %q in the last plan of voyage %s: %w", item, voyage, ErrNotFound)
	}
	d, err := s.doubt(ctx, voyage, Briefed{p.Brief, p.Notes})
	if err != nil {
		return Worth{}, err
	}
	note := p.Notes.Items[k]
	rungs, err := risk.Ladder(p.Brief, d, note.ID, stop)
	if errors.Is(err, risk.ErrInput) {
		return Worth{}, fmt.Errorf("stop %d of voyage %s: %w to carry %s away from", stop, voyage, ErrNotFound, note.Name)
	}
	if err != nil {
		return Worth{}, err
	}
	w := Worth{Item: note.ID, Name: note.Name, Unit: note.Unit, Stop: stop, Port: p.Notes.Stops[stop].Name, Currency: p.Brief.Currency, Rungs: []WorthRung{}}
	w.price(p)
	for _, r := range rungs {
		w.Rungs = append(w.Rungs, WorthRung{r, p.Notes.Start + calendar.Day(r.From+1e-9), p.Notes.Start + calendar.Day(r.Until+1e-9)})
	}
	return w, nil
}

// price is what the plan expects to pay there for a unit.
func (w *Worth) price(p Planned) {
	for _, o := range p.Notes.Offers {
		if o.Item != w.Item || o.Stop != w.Stop || o.Pack <= 0 {
			continue
		}
		if per := o.Price / o.Pack.Units(); w.Expected == 0 || per < w.Expected {
			w.Expected = per
		}
		if o.Price > 0 {
			w.Local = cmp.Or(o.Local/o.Price, w.Local)
		}
	}
}
