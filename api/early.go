package api

import (
	"context"
	"errors"
	"fmt"
	"time"

	"hardtack/db"
	"hardtack/route/plan"
)

// Search is how the search for a plan stands of which an early plan was kept.
// The zero value is none.
type Search struct {
	Going bool    // it goes on
	At    int64   // revision of the plan it kept last
	Saves float64 // what its end counts less than the early plan, home currency
	// Held says that the end was not kept in place of the early plan, because
	// something it was made for was changed meanwhile, or a list was begun.
	Held bool
}

// Search is how the search for a voyage's plan stands, as far as this process
// knows.
func (s *Service) Search(voyage string) Search {
	s.searches.Lock()
	defer s.searches.Unlock()
	return s.searches.of[voyage]
}

func (s *Service) setSearch(voyage string, x Search) {
	s.searches.Lock()
	defer s.searches.Unlock()
	if s.searches.of == nil {
		s.searches.of = map[string]Search{}
	}
	s.searches.of[voyage] = x
}

// early keeps a plan while the search goes on.
type early struct {
	found chan plan.Plan // the best yet
	over  chan struct{}  // closed: the search has ended
	done  chan struct{}  // closed: nothing is kept any more
	kept  Kept[Planned]
	err   error
}

// lookEarly is told of each better plan of a search that begins now, and keeps
// the first that is good. Its end must be called.
func (s *Service) lookEarly(ctx context.Context, b boarded, o *PlanOptions) *early {
	e := &early{found: make(chan plan.Plan, 1), over: make(chan struct{}), done: make(chan struct{})}
	if !o.Early {
		close(e.done)
		return e
	}
	tell, began := o.Better, s.now()
	o.Better = func(p plan.Plan) {
		select {
		case <-e.found: // nobody came for it, and there is a better one
		default:
		}
		e.found <- p
		if tell != nil {
			tell(p)
		}
	}
	go func() {
		defer close(e.done)
		p, ok, err := e.good(b)
		if e.err = err; !ok {
			return
		}
		if e.kept, e.err = s.keepEarly(ctx, b, p, began); e.err == nil && o.Begun != nil {
			o.Begun(e.kept.Value)
		}
	}()
	return e
}

// good waits for the first plan that costs less than any plain habit; false
// when the search ends before.
func (e *early) good(b boarded) (plan.Plan, bool, error) {
	hs, err := b.habits()
	if err != nil {
		return plan.Plan{}, false, err
	}
	for {
		select {
		case <-e.over:
			return plan.Plan{}, false, nil
		case p := <-e.found:
			if saves(p.Cost, hs) > 0 {
				return p, true, nil
			}
		}
	}
}

// end waits until nothing is kept early any more. It passes on the error of the
// search, or gives its own.
func (e *early) end(err error) (Kept[Planned], error) {
	close(e.over)
	<-e.done
	return e.kept, errors.Join(err, e.err)
}

func (s *Service) keepEarly(ctx context.Context, b boarded, p plan.Plan, began time.Time) (Kept[Planned], error) {
	done, err := s.checked(b, p, began)
	if err != nil {
		return Kept[Planned]{}, err
	}
	kept, err := put(ctx, s, db.KindPlan, done.Voyage, done, AnyRevision)
	if err == nil {
		s.setSearch(done.Voyage, Search{Going: true, At: kept.Revision})
	}
	return kept, err
}

// rests are the kinds a plan is made for, and the lists begun from it.
var rests = []db.Kind{db.KindVoyage, db.KindSettings, db.KindVessel, db.KindCrew, db.KindLot, db.KindDraft}

// replaceEarly puts the end of a search in place of its early plan: never when
// what it was made for was changed meanwhile, another plan was made or somebody
// has begun to shop by the early one. ErrStale then.
func (s *Service) replaceEarly(ctx context.Context, early Kept[Planned], done Planned) (Kept[Planned], error) {
	x := Search{At: early.Revision, Saves: early.Value.Plan.Cost.Total - done.Plan.Cost.Total, Held: true}
	kept := Kept[Planned]{Value: done}
	last, err := s.db.Change(ctx, rests...)
	if err == nil && last > early.Revision {
		err = fmt.Errorf("plan voyage %s: something was changed or a list was begun while a better plan was looked for: %w; the first plan stays", done.Voyage, ErrStale)
	}
	if err == nil {
		kept, err = put(ctx, s, db.KindPlan, done.Voyage, done, early.Revision)
	}
	if err == nil {
		x.At, x.Held = kept.Revision, false
	}
	s.setSearch(done.Voyage, x)
	return kept, err
}
