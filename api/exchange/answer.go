package exchange

import (
	"context"
	"errors"
	"fmt"

	"hardtack/db"
)

// Terms are what the one who answers allows.
type Terms struct {
	// Carrier is who brings it, where that is known: nothing of it is told back.
	// Otherwise that holds for one visit only, since two copies of a file go by
	// one name, and one must hear what the other brought.
	Carrier string
	// Shelf is what is told; nil: everything in the log, heads too.
	Shelf Shelf
	// May says why a record must not be brought, nothing when it may.
	May func(db.Record) string
}

// ErrVersion is a message of a program that is too new.
var ErrVersion = errors.New("speaks a newer version")

// maxRefusals are told by name.
const maxRefusals = 50

// Answer takes what is brought and tells what comes after the asker's place.
// The same Ask again changes nothing more. Errors: ErrVersion, ErrUnreadable;
// then nothing was changed.
func (p *Party) Answer(ctx context.Context, ask Ask, terms Terms) (Answer, error) {
	if ask.Version > Version || ask.Version < 1 {
		return Answer{}, fmt.Errorf("%w: %d, want 1 to %d; nothing was changed", ErrVersion, ask.Version, Version)
	}
	a := Answer{Version: Version, From: idOf(p.Source), Now: p.Now.Unix(), Epoch: p.Epoch}
	if terms.Shelf == nil {
		if err := p.Log.Number(ctx, p.Source); err != nil {
			return a, err
		}
	}
	if ask.Meet {
		return a, p.present(ctx, ask, terms, &a)
	}
	if err := p.take(ctx, ask, terms, &a); err != nil {
		return a, err
	}
	if err := p.reach(ctx, ask, &a); err != nil {
		return a, err
	}
	return a, p.tell(ctx, ask, terms, &a)
}

// present tells how far which source is known.
func (p *Party) present(ctx context.Context, ask Ask, terms Terms, a *Answer) error {
	if terms.Shelf == nil {
		heads, err := p.Log.Heads(ctx)
		if err != nil {
			return err
		}
		for _, h := range heads {
			a.Heads = append(a.Heads, Reached{Source: idOf(h.Source), Top: h.Top, Chain: h.Chain})
		}
	}
	return p.reach(ctx, ask, a)
}

// reach tells how far the asker's records are known, and whether they are the
// asker's at all.
func (p *Party) reach(ctx context.Context, ask Ask, a *Answer) error {
	source := nameOf(ask.From)
	h, err := p.Log.Head(ctx, source)
	if err != nil {
		return err
	}
	a.Own = reachOf(h)
	if ask.Own.Top == 0 {
		return nil
	}
	chain, err := p.Log.ChainAt(ctx, source, ask.Own.Top)
	a.Parted = chain != 0 && chain != ask.Own.Chain
	return err
}

// Brought are the records a message brings, as they are said.
func (p *Party) Brought(ask Ask) ([]db.Record, error) { return p.Codec.unpack(ask.Records) }

func (p *Party) take(ctx context.Context, ask Ask, terms Terms, a *Answer) error {
	rs, err := p.Codec.unpack(ask.Records)
	if err != nil {
		return err
	}
	carrier := terms.Carrier
	if carrier == "" {
		carrier = nameOf(ask.Visit)
	}
	done, err := p.accept(ctx, rs, terms.May, db.Arrival{Carrier: carrier, Last: p.last()})
	if err != nil {
		return err
	}
	a.New, a.Same, a.Late = done.New, done.Same, done.Late
	for _, r := range done.Refused[:min(len(done.Refused), maxRefusals)] {
		a.Refused = append(a.Refused, Refusal{ID: r.ID, Why: r.Why})
	}
	return nil
}

// accept takes the records nothing is wrong with.
func (p *Party) accept(ctx context.Context, rs []db.Record, may func(db.Record) string, arrival db.Arrival) (db.Taken, error) {
	var good []db.Record
	var refused []db.Refusal
	for _, r := range rs {
		why := Check(r)
		if why == "" && may != nil {
			why = may(r)
		}
		if why != "" {
			refused = append(refused, db.Refusal{ID: r.ID, Why: why})
			continue
		}
		good = append(good, r)
	}
	if len(good) == 0 && arrival.Peer.ID == "" {
		return db.Taken{Refused: refused}, nil
	}
	done, err := p.Log.TakeRecords(ctx, good, arrival)
	done.Refused = append(refused, done.Refused...)
	return done, err
}

// tell gives the page after the asker's place.
func (p *Party) tell(ctx context.Context, ask Ask, terms Terms, a *Answer) error {
	var shelf Shelf = p.Log
	if terms.Shelf != nil {
		shelf = terms.Shelf
	}
	at, err := p.placeOf(ctx, shelf, ask, a)
	if err != nil {
		return err
	}
	known, err := covered(ctx, p.Log, ask.Have)
	if err != nil {
		return err
	}
	t := teller{Party: p, shelf: shelf, feed: ask.feed(terms), known: known, budget: ask.budget(), a: a}
	if ask.Want != nil && len(ask.Want.Stake) > 0 {
		return t.ranked(ctx, at, *ask.Want)
	}
	return t.inOrder(ctx, at)
}

func (ask Ask) budget() int {
	if ask.Budget <= 0 || ask.Budget > pageBytes {
		return pageBytes
	}
	return ask.Budget
}

func (ask Ask) feed(terms Terms) db.Feed {
	f := db.Feed{NotFrom: terms.Carrier}
	if f.NotFrom == "" {
		f.NotFrom = nameOf(ask.Visit)
	}
	if ask.Want != nil {
		f.Ports, f.Items = idsOf[portID](ask.Want.Ports), idsOf[itemID](ask.Want.Items)
	}
	return f
}

// teller writes the page of an answer.
type teller struct {
	*Party
	shelf  Shelf
	feed   db.Feed
	known  map[string]int64
	budget int
	a      *Answer
}

// inOrder tells in the order of arrival.
func (t *teller) inOrder(ctx context.Context, at place) error {
	end, err := t.shelf.End(ctx) // first: what comes in after it is for the next page
	if err != nil {
		return err
	}
	fed, err := t.shelf.Records(ctx, t.feed, at.mark(), pageRows)
	if err != nil {
		return err
	}
	rs := without(fed, t.known)
	b, n, err := t.fit(rs, t.budget)
	if err != nil {
		return err
	}
	t.a.Records = b
	t.a.More = n < len(rs) || len(fed) == pageRows
	switch {
	case n < len(rs):
		at = t.placeAt(markOf(fed, rs[n-1].ID))
	case t.a.More:
		at = t.placeAt(fed[len(fed)-1].Mark)
	default:
		at = t.placeAt(later(end, at.mark(), fed))
	}
	t.a.Next, err = t.Codec.placed(at)
	return err
}

// later is the last of the marks: everything up to it was told or left out.
func later(end, at db.Mark, fed []db.Fed) db.Mark {
	if after(at, end) {
		end = at
	}
	if n := len(fed); n > 0 && after(fed[n-1].Mark, end) {
		end = fed[n-1].Mark
	}
	return end
}

func markOf(fed []db.Fed, id string) db.Mark {
	for _, f := range fed {
		if f.ID == id {
			return f.Mark
		}
	}
	return db.Mark{}
}
