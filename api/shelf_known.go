package api

import (
	"context"
	"fmt"
	"sync"

	"hardtack/route/plan"
)

// asked remembers what was worked out at the shelf: the same plan and the same
// prices give the same answer, and one at the shelf asks again and again.
type asked struct {
	one     sync.Mutex // held while prices met are worked out, one question at a time
	shelves recent[Shelf]
	prices  recent[metState]
	binds   recent[Bindings]
}

// How much is remembered; a state of prices met holds a whole plan.
const (
	mostShelves = 2000
	mostStates  = 32
	mostBinds   = 100
)

// recent is a map that forgets what was put in first.
type recent[T any] struct {
	mu   sync.Mutex
	keys []string
	at   map[string]T
}

func (r *recent[T]) get(key string) (T, bool) {
	r.mu.Lock()
	defer r.mu.Unlock()
	v, ok := r.at[key]
	return v, ok
}

func (r *recent[T]) put(key string, v T, most int) {
	r.mu.Lock()
	defer r.mu.Unlock()
	if r.at == nil {
		r.at = map[string]T{}
	}
	if _, ok := r.at[key]; !ok {
		r.keys = append(r.keys, key)
	}
	r.at[key] = v
	for len(r.keys) > most {
		delete(r.at, r.keys[0])
		r.keys = r.keys[1:]
	}
}

// Shelves are the quantity steps of many packs of a voyage's last plan, nil for
// those not known. They are worked out, in the order given, only when asked to,
// and until ctx ends, which is no error.
func (s *Service) Shelves(ctx context.Context, voyage string, asks []ShelfAsk, workOut bool) ([]*Shelf, error) {
	kept, err := s.LastPlan(context.WithoutCancel(ctx), voyage)
	if err != nil {
		return nil, err
	}
	out := make([]*Shelf, len(asks))
	for i, ask := range asks {
		x, err := s.named(kept.Value, ask)
		if err != nil {
			return nil, err
		}
		key := x.key(kept.Revision)
		known, ok := s.asked.shelves.get(key)
		if !ok && workOut && ctx.Err() == nil {
			known, err = s.steps(ctx, kept, x)
			if err != nil && ctx.Err() == nil {
				return nil, err
			}
			ok = err == nil
		}
		if ok {
			out[i] = &known
		}
	}
	return out, nil
}

func (x *Shelf) key(revision int64) string {
	return fmt.Sprintf("%d %d %s %g", revision, x.Stop, x.Item, x.Pack)
}

// steps works a shelf out, unless it is known.
func (s *Service) steps(ctx context.Context, kept Kept[Planned], x Shelf) (Shelf, error) {
	key := x.key(kept.Revision)
	if known, ok := s.asked.shelves.get(key); ok {
		return known, nil
	}
	b, p, err := x.put(plan.Behind(kept.Value.Brief, kept.Value.Plan, x.Stop), kept.Value.Plan)
	if err != nil {
		return Shelf{}, err
	}
	if err := x.ask(ctx, b, p); err != nil {
		return Shelf{}, err
	}
	s.asked.shelves.put(key, x, mostShelves)
	return x, nil
}
