package api

import (
	"context"
	"math/rand/v2"
	"slices"
	"time"

	"hardtack/api/exchange"
	"hardtack/api/public"
	"hardtack/db"
	"hardtack/pricing"
	"hardtack/pricing/calendar"
)

// Publish tells everybody those reports whose turn has come under a rule, and
// takes back what was told of reports that were corrected, withdrawn or left
// out since. Reports questioned as slips wait for a moderator. Done twice it
// changes nothing more; what was told before an error stays told.
func (s *Service) Publish(ctx context.Context, r public.Rule) (told, back int, err error) {
	doubtful, err := s.Doubtfuls(ctx)
	if err != nil {
		return 0, 0, err
	}
	held := map[string]bool{}
	for _, d := range doubtful {
		held[d.Entry.ID] = true
	}
	names, err := s.ruleNames(ctx, r)
	if err != nil {
		return 0, 0, err
	}
	pools, err := s.db.Pools(ctx, s.Today(), names.due, names.stuck)
	if err != nil {
		return 0, 0, err
	}
	parts := slices.Collect(slices.Chunk(pools, poolsAtOnce))
	if len(parts) == 0 {
		parts = [][]db.Pool{nil} // something may have to be taken back
	}
	for _, part := range parts {
		t, b, err := s.publishFrom(ctx, newLook(r, names, s.Today(), part), held)
		told, back = told+t, back+b
		if err != nil {
			return told, back, err
		}
	}
	return told, back, nil
}

// poolsAtOnce bounds what is held in memory when much is due.
const poolsAtOnce = 1_000

// publishFrom tells what is due in the pools of one look.
func (s *Service) publishFrom(ctx context.Context, l *look, held map[string]bool) (told, back int, err error) {
	var waiting []public.Waiting
	err = s.db.EachUntold(ctx, l.pools, func(u db.Untold) error {
		w := public.Waiting{Report: u.Report, Account: u.Account, Received: calendar.Of(time.UnixMilli(u.ReceivedMs))}
		if w.Account == "" {
			w.Account = "reporter " + u.Reporter
		}
		if held[u.ID] {
			l.held(u)
		} else {
			l.found(u, w)
			waiting = append(waiting, w)
		}
		return nil
	})
	if err != nil {
		return 0, 0, err
	}
	ps, err := s.publications(ctx, l.rule.Due(waiting, l.today), waiting)
	if err != nil {
		return 0, 0, err
	}
	rand.Shuffle(len(ps), func(i, j int) { ps[i], ps[j] = ps[j], ps[i] }) // their numbers say nothing
	shelf, err := s.published(ctx)
	if err != nil {
		return 0, 0, err
	}
	return s.db.Publish(ctx, ps, l.after(ps), func(number int64) string { return exchange.IDOf(shelf.Source, number) })
}

// publications are reports in the form in which they are told. What cannot be
// told so, for want of a rate or of the item, waits.
func (s *Service) publications(ctx context.Context, due []public.Told, waiting []public.Waiting) ([]db.Publication, error) {
	p, err := s.place(ctx)
	if err != nil {
		return nil, err
	}
	byID := make(map[string]pricing.Report, len(waiting))
	for _, w := range waiting {
		byID[w.ID] = w.Report
	}
	var out []db.Publication
	for _, d := range due {
		paid, pack, ok := public.Blur(byID[d.Report], s.usually(p, byID[d.Report]), 2*rand.Float64()-1)
		if ok {
			out = append(out, db.Publication{Report: d.Report, Day: d.Day, Paid: paid, Pack: pack, Instead: d.Instead})
		}
	}
	return out, nil
}

// usually is how a report's price is told; the zero value when it cannot be.
func (s *Service) usually(p *place, r pricing.Report) public.Usually {
	port, there := p.gazetteer.Port(r.Port)
	from, _, err1 := p.rates.Per(r.Paid.Currency, r.Day)
	to, _, err2 := p.rates.Per(port.Currency, r.Day)
	if !there || err1 != nil || err2 != nil {
		return public.Usually{}
	}
	return public.Usually{Pack: s.world.Catalogue.Items[r.Item].ListPack, Currency: port.Currency, Factor: to / from}
}

// published is what is told to everybody.
func (s *Service) published(ctx context.Context) (db.Published, error) {
	p, err := s.party(ctx)
	if err != nil {
		return db.Published{}, err
	}
	return db.Published{DB: s.db, Far: s.db.Far(ctx), Source: p.Source, Form: public.Form}, nil
}

// PublishAlone is Publish, unless another process does just that.
func (s *Service) PublishAlone(ctx context.Context, r public.Rule) (told, back int, err error) {
	_, err = s.db.Alone(ctx, "publish", func(ctx context.Context) error {
		told, back, err = s.Publish(ctx, r)
		return err
	})
	return told, back, err
}
