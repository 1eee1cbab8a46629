package api

import (
	"context"
	"fmt"

	"hardtack/api/access"
	"hardtack/api/exchange"
	"hardtack/db"
)

// Facts a database knows about itself, for those it exchanges with.
const (
	factSource = "source" // its name
	factEpoch  = "epoch"  // drawn anew when it is put back to an earlier state
)

// party is this database as one of those who exchange.
func (s *Service) party(ctx context.Context) (*exchange.Party, error) {
	codec, err := s.codec()
	if err != nil {
		return nil, err
	}
	source, err := s.db.MetaOr(ctx, factSource, s.newID())
	if err != nil {
		return nil, err
	}
	epoch, err := s.db.MetaOr(ctx, factEpoch, s.newID())
	if err != nil {
		return nil, err
	}
	return &exchange.Party{Codec: codec, Log: s.db, Source: source, Epoch: epoch, Now: s.now()}, nil
}

// AnswerExchange answers a message of another database that calls. A caller
// with an account may bring its own reports and is told what is public;
// without accounts everything is exchanged. Errors: exchange.ErrUnreadable,
// exchange.ErrVersion; then nothing was changed.
func (s *Service) AnswerExchange(ctx context.Context, message []byte, c *access.Caller) ([]byte, error) {
	p, err := s.party(ctx)
	if err != nil {
		return nil, err
	}
	var ask exchange.Ask
	if err := p.Codec.Decode(message, &ask); err != nil {
		return nil, fmt.Errorf("exchange: %w", err)
	}
	var terms exchange.Terms
	if c != nil {
		if terms, err = s.memberTerms(ctx, *c, p, ask); err != nil {
			return nil, fmt.Errorf("exchange: %w", err)
		}
	}
	a, err := p.Answer(ctx, ask, terms)
	if err != nil {
		return nil, fmt.Errorf("exchange: %w", err)
	}
	return p.Codec.Encode(a)
}

// Post carries a message to another database and its answer back.
type Post func(ctx context.Context, message []byte) ([]byte, error)

// Exchange calls on another database until neither has anything more. What was
// exchanged before an error is kept, and calling again goes on from there.
func (s *Service) Exchange(ctx context.Context, v exchange.Visit, post Post) (exchange.Done, error) {
	p, err := s.party(ctx)
	if err != nil {
		return exchange.Done{}, err
	}
	v.ID = s.newID()
	done, err := p.Meet(ctx, v, func(ctx context.Context, ask exchange.Ask) (a exchange.Answer, err error) {
		message, err := p.Codec.Encode(ask)
		if err != nil {
			return a, err
		}
		answer, err := post(ctx, message)
		if err != nil {
			return a, err
		}
		return a, p.Codec.Decode(answer, &a)
	})
	if done.Renamed {
		if err := s.db.SetMeta(ctx, factSource, s.newID()); err != nil {
			return done, err
		}
	}
	if err != nil {
		return done, fmt.Errorf("exchange with %s: %w", v.Peer, err)
	}
	return done, nil
}

// StateHash is the same for the same set of reports, whatever way they came.
func (s *Service) StateHash(ctx context.Context) (string, error) {
	var h exchange.Hasher
	for mark := (db.Mark{}); ; {
		page, err := s.db.Records(ctx, db.Feed{}, mark, 1000)
		if err != nil {
			return "", err
		}
		for _, f := range page {
			h.Add(f.Report)
			mark = f.Mark
		}
		if len(page) == 0 {
			return h.Sum(), nil
		}
	}
}
