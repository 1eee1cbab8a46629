package api

import (
	"context"
	"errors"
	"fmt"
	"time"

	"hardtack/db"
	"hardtack/pricing/calendar"
	"hardtack/pricing/money"
	"hardtack/pricing/wording"
	"hardtack/route"
	"hardtack/route/brief"
	"hardtack/route/plan"
	"hardtack/route/risk"
	"hardtack/route/season"
	"hardtack/route/vessel"
)

// Briefed is a brief with the notes that explain it.
type Briefed struct {
	Brief plan.Brief  `json:"brief"`
	Notes brief.Notes `json:"notes"`
}

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
}

// Brief builds the brief of a voyage. Errors: ErrNotFound (the voyage),
// ErrInvalid (no vessel or crew, or what cannot be planned with).
func (s *Service) Brief(ctx context.Context, voyage string) (Briefed, error) {
	b, err := s.boarded(ctx, voyage)
	if err != nil {
		return Briefed{}, err
	}
	return b.briefed, nil
}

// boarded is a voyage with all that its brief was built from.
type boarded struct {
	voyage    route.Voyage
	itinerary route.Itinerary
	crew      vessel.Crew
	briefed   Briefed
}

func (s *Service) boarded(ctx context.Context, voyage string) (boarded, error) {
	v, it, set, err := s.settled(ctx, voyage)
	if err != nil {
		return boarded{}, err
	}
	return s.board(ctx, v, it, set)
}

// settled is a voyage as kept, with its stops dated and how it is planned.
func (s *Service) settled(ctx context.Context, voyage string) (route.Voyage, route.Itinerary, Settings, error) {
	v, err := s.Voyage(ctx, voyage)
	if err != nil {
		return route.Voyage{}, route.Itinerary{}, Settings{}, err
	}
	set, err := s.Settings(ctx, voyage)
	if err != nil {
		return route.Voyage{}, route.Itinerary{}, Settings{}, err
	}
	it, err := s.settle(ctx, v.Value)
	return v.Value, it, set.Value, err
}

// board builds the brief of an itinerary, the whole of a voyage or what is
// left of it.
func (s *Service) board(ctx context.Context, v route.Voyage, it route.Itinerary, set Settings) (boarded, error) {
	in, err := s.input(ctx, v, it, set)
	if err != nil {
		return boarded{}, err
	}
	rates, err := s.rates(ctx, in.Vessel.ID, in.Crew.ID)
	if err != nil {
		return boarded{}, err
	}
	in.Catalogue = rates.Apply(s.world.Catalogue)
	if err := s.learnedTanks(ctx, &in); err != nil {
		return boarded{}, err
	}
	b, notes, err := brief.Build(in)
	if errors.Is(err, brief.ErrInput) || errors.Is(err, vessel.ErrInvalid) {
		return boarded{}, invalid("voyage "+v.ID, err)
	}
	if err != nil {
		return boarded{}, fmt.Errorf("build the brief of voyage %s: %w", v.ID, err)
	}
	for _, l := range rates.Lines(s.world.Catalogue, seasonOf(in.Crew, personDays(in.Crew, it))) {
		notes.Said = append(notes.Said, wording.Say("usage.learned", wording.Said(l.Said)))
	}
	return boarded{v, it, in.Crew, Briefed{b, notes}}, nil
}

// personDays are those of a whole voyage.
func personDays(crew vessel.Crew, it route.Itinerary) float64 {
	if len(it.Calls) == 0 {
		return 0
	}
	return crew.PersonDays(it.Start, 0, it.Calls[len(it.Calls)-1].Depart, vessel.Heads)
}

// input gathers what a brief is built from.
func (s *Service) input(ctx context.Context, v route.Voyage, it route.Itinerary, set Settings) (brief.Input, error) {
	boat, err := only(ctx, "vessel", set.Vessel, s.Vessel, s.Vessels)
	if err != nil {
		return brief.Input{}, err
	}
	crew, err := only(ctx, "crew", set.Crew, s.Crew, s.Crews)
	if err != nil {
		return brief.Input{}, err
	}
	lots, _, err := s.db.Lots(ctx, boat.ID)
	if err != nil {
		return brief.Input{}, err
	}
	p, err := s.place(ctx)
	if err != nil {
		return brief.Input{}, err
	}
	table, err := s.tableOf(ctx, it)
	if err != nil {
		return brief.Input{}, err
	}
	return brief.Input{
		Itinerary: it, Ports: p.gazetteer, Rules: s.world.Rules, Vessel: boat, Crew: crew, Lots: lots,
		Catalogue: s.world.Catalogue, Prices: table, Home: v.Home, Rate: s.rate(p), Wishes: set.Wishes,
		Today: s.Today(), Options: set.Options,
	}, nil
}

// rate is today's rate of exchange.
func (s *Service) rate(p *place) brief.Rate {
	today := s.Today()
	return func(c money.Currency) (float64, calendar.Day, error) { return p.rates.Per(c, today) }
}

// only is the one named, or the only one there is.
func only[T any](ctx context.Context, kind, id string, get func(context.Context, string) (Kept[T], error),
	all func(context.Context) ([]Kept[T], error)) (T, error) {
	var none T
	if id != "" {
		k, err := get(ctx, id)
		return k.Value, err
	}
	ks, err := all(ctx)
	if err != nil {
		return none, err
	}
	if len(ks) != 1 {
		var fs faults
		fs.add(kind, fmt.Sprintf("none named and %d there", len(ks)), "exactly one, or one named in the voyage's settings")
		return none, fs.err("settings")
	}
	return ks[0].Value, nil
}

// Plan plans a voyage and keeps the plan, the best found by the time the budget
// is used, the time is up or o.Stop is closed. When ctx ends it stops too, and
// keeps nothing.
func (s *Service) Plan(ctx context.Context, voyage string, o PlanOptions) (Kept[Planned], error) {
	b, err := s.boarded(ctx, voyage)
	if err != nil {
		return Kept[Planned]{}, err
	}
	began := s.now()
	p, err := s.solve(ctx, voyage, b.briefed, o)
	if err == nil {
		err = ctx.Err() // nobody waits for it any more
	}
	if err != nil {
		return Kept[Planned]{}, fmt.Errorf("plan voyage %s: %w", voyage, err)
	}
	if err := plan.Verify(b.briefed.Brief, p); err != nil {
		return Kept[Planned]{}, fmt.Errorf("plan voyage %s: the plan made breaks the brief: %w", voyage, err)
	}
	done, err := s.planned(b, p)
	if err != nil {
		return Kept[Planned]{}, err
	}
	done.Seconds = s.now().Sub(began).Seconds()
	return put(ctx, s, db.KindPlan, voyage, done, AnyRevision)
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
	hs, err := habits(b.briefed.Brief)
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
