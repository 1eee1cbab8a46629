package api

import (
	"context"
	"fmt"
	"math"
	"runtime/debug"
	"time"

	"hardtack/db"
	"hardtack/pricing/calendar"
	"hardtack/route/brief"
	"hardtack/route/plan"
	"hardtack/route/risk"
	"hardtack/route/season"
	"hardtack/route/vessel"
)

// Planned is a plan with everything that explains it: enough to print it and
// its lists without asking anything again.
type Planned struct {
	Voyage    string            `json:"voyage"`
	Title     string            `json:"title"`
	Made      calendar.Day      `json:"made"`
	Seconds   float64           `json:"seconds"` // spent looking
	Brief     plan.Brief        `json:"brief"`
	Notes     brief.Notes       `json:"notes"`
	Plan      plan.Plan         `json:"plan"`
	Endurance []brief.Endurance `json:"endurance"` // water and gas, by leg
	Habits    []Habit           `json:"habits"`    // what a plain habit would cost on the same voyage
	Review    brief.Review      `json:"review"`
	Crew      vessel.Crew       `json:"crew"`
}

// Habit is what shopping by a plain habit would cost, see route/season.
type Habit struct {
	Name     string  `json:"name"`
	Spent    float64 `json:"spent"`    // goods and trips, home currency
	Shortage float64 `json:"shortage"` // what the brief charges for going without; no money
}

// saves is what a plan costs less than the cheapest of some habits, going
// without counted in.
func saves(c plan.Cost, habits []Habit) float64 {
	least := math.Inf(1)
	for _, h := range habits {
		least = min(least, h.Spent+h.Shortage)
	}
	return least - c.Goods - c.Trips - c.Missing - c.ReserveMissing
}

// Saves is what the plan costs less than the cheapest plain habit, going
// without counted in; home currency.
func (p Planned) Saves() float64 { return saves(p.Plan.Cost, p.Habits) }

func habits(b plan.Brief) ([]Habit, error) {
	walked, err := season.Habits(b)
	out := make([]Habit, len(walked))
	for i, h := range walked {
		out[i] = Habit{h.Name, h.Spent, h.Shortage}
	}
	return out, err
}

// PlanOptions say how to plan.
type PlanOptions struct {
	plan.Budget                 // how much is tried, and with which choices
	Time        time.Duration   // stop looking after that; 0 = when the budget is used
	Better      func(plan.Plan) // told of each better plan; may be nil
	Stop        <-chan struct{} // closed: look no further and keep the best so far; may be nil
	Careful     bool            // count in what may not be found ahead, see route/risk

	// Early keeps the first plan that costs less than any plain habit, while a
	// better one is looked for. See Search.
	Early bool
	Begun func(Planned) // told of the plan kept early; may be nil
}

// Plan plans a voyage and keeps the plan, the best found by the time the budget
// is used, the time is up or o.Stop is closed. When ctx ends it stops too, and
// keeps nothing more. ErrStale: the plan kept early stays, see Search.
func (s *Service) Plan(ctx context.Context, voyage string, o PlanOptions) (Kept[Planned], error) {
	b, err := s.boarded(ctx, voyage)
	if err != nil {
		return Kept[Planned]{}, err
	}
	began := s.now()
	defer giveBack(time.Now())
	looking := s.lookEarly(ctx, b, &o)
	p, err := s.solve(ctx, voyage, b.briefed, o)
	early, err := looking.end(err)
	if err == nil {
		err = ctx.Err() // nobody waits for it any more
	}
	done := Planned{}
	if err == nil {
		done, err = s.checked(b, p, began)
	}
	switch {
	case err == nil && early.Revision > 0:
		return s.replaceEarly(ctx, early, done)
	case err == nil:
		return put(ctx, s, db.KindPlan, voyage, done, AnyRevision)
	case early.Revision > 0:
		s.setSearch(voyage, Search{}) // it is over
	}
	return Kept[Planned]{}, fmt.Errorf("plan voyage %s: %w", voyage, err)
}

// giveBack returns to the machine what a search of a second or more has taken,
// hundreds of megabytes for a large season: by itself that takes minutes.
func giveBack(began time.Time) {
	if time.Since(began) >= time.Second {
		debug.FreeOSMemory()
	}
}

// checked is a plan that the referee has passed, with all that explains it.
func (s *Service) checked(b boarded, p plan.Plan, began time.Time) (Planned, error) {
	if err := plan.Verify(b.briefed.Brief, p); err != nil {
		return Planned{}, fmt.Errorf("the plan made breaks the brief: %w", err)
	}
	done, err := s.planned(b, p)
	done.Seconds = s.now().Sub(began).Seconds()
	return done, err
}

func (s *Service) solve(ctx context.Context, voyage string, b Briefed, o PlanOptions) (plan.Plan, error) {
	first, second := o.Time, time.Duration(0)
	if o.Careful {
		first, second = o.Time/2, o.Time/2 // the plain plan for its bound, then the careful one
	}
	looking, done := until(ctx, o.Stop)
	defer done()
	p, err := within(looking, first, func(ctx context.Context) (plan.Plan, error) {
		return plan.Solve(ctx, b.Brief, o.Budget, o.Better)
	})
	if err != nil || !o.Careful || looking.Err() != nil {
		return p, err
	}
	d, err := s.doubt(ctx, voyage, b)
	if err != nil {
		return p, err
	}
	careful, err := within(looking, second, func(ctx context.Context) (plan.Plan, error) {
		return risk.Plan(ctx, b.Brief, d, o.Budget, p.Bound, nil)
	})
	if err != nil {
		return p, err
	}
	c, err := risk.Prefer(ctx, b.Brief, d, p, careful)
	return c.Plan, err
}

// until is a context that also ends when a channel is closed.
func until(ctx context.Context, stop <-chan struct{}) (context.Context, context.CancelFunc) {
	ctx, cancel := context.WithCancel(ctx)
	if stop != nil {
		go func() {
			select {
			case <-stop:
				cancel()
			case <-ctx.Done():
			}
		}()
	}
	return ctx, cancel
}

// within gives f a context that ends after a time, never for 0.
func within(ctx context.Context, d time.Duration, f func(context.Context) (plan.Plan, error)) (plan.Plan, error) {
	if d > 0 {
		limited, cancel := context.WithTimeout(ctx, d)
		defer cancel()
		ctx = limited
	}
	return f(ctx)
}

func (s *Service) planned(b boarded, p plan.Plan) (Planned, error) {
	title := b.voyage.Name
	if title == "" {
		title = b.voyage.ID
	}
	hs, err := b.habits()
	return Planned{
		Voyage: b.voyage.ID, Title: title, Made: s.Today(), Brief: b.briefed.Brief, Notes: b.briefed.Notes, Plan: p,
		Endurance: brief.EnduranceOf(b.briefed.Brief, b.briefed.Notes, p),
		Review:    brief.ReviewOf(b.briefed.Brief, b.briefed.Notes, p, b.crew, b.itinerary),
		Habits:    hs,
		Crew:      b.crew,
	}, err
}

// LastPlan is the plan kept last, ErrNotFound when the voyage has none.
func (s *Service) LastPlan(ctx context.Context, voyage string) (Kept[Planned], error) {
	if _, err := s.Voyage(ctx, voyage); err != nil {
		return Kept[Planned]{}, err
	}
	return get[Planned](ctx, s, db.KindPlan, voyage)
}
