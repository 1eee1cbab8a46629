package api

import (
	"context"
	"fmt"

	"hardtack/db"
	"hardtack/pricing/calendar"
	"hardtack/pricing/measure"
	"hardtack/pricing/wording"
	"hardtack/route/brief"
	"hardtack/route/passage"
	"hardtack/route/plan"
	"hardtack/route/underway"
)

// ReplanOptions say what is so now. Dates, stops, crew and boat are those of
// the voyage as it is kept by now.
type ReplanOptions struct {
	Day       calendar.Day    `json:"day,omitzero"`         // zero: today
	AsPlanned bool            `json:"as_planned,omitempty"` // aboard is what the last plan would have, not what was counted
	Bought    bool            `json:"bought,omitempty"`     // the shopping of the stop we lie at is done
	Lost      []string        `json:"lost,omitempty"`       // spaces that have failed: "fridge"
	Accept    bool            `json:"accept,omitempty"`     // keep the new plan as the one we go by
	Budget    plan.Budget     `json:"-"`
	Better    func(plan.Plan) `json:"-"`
}

// Replanned is a plan for the rest of a voyage and how it differs.
type Replanned struct {
	Planned    Planned             `json:"planned"`
	Difference underway.Difference `json:"difference"`
	Accepted   bool                `json:"accepted"`
}

// Replan plans a voyage from a day on, near the plan kept last, and says what
// changes. Errors: ErrNotFound (voyage, no plan yet), ErrInvalid.
func (s *Service) Replan(ctx context.Context, voyage string, o ReplanOptions) (Replanned, error) {
	last, err := s.LastPlan(ctx, voyage)
	if err != nil {
		return Replanned{}, fmt.Errorf("plan voyage %s anew: the plan to go by: %w", voyage, err)
	}
	if o.Day.IsZero() {
		o.Day = s.Today()
	}
	b, err := s.boardedFrom(ctx, voyage, last.Value, o)
	if err != nil {
		return Replanned{}, err
	}
	began := s.now()
	match := underway.Match(b.briefed.Brief, last.Value.Brief)
	behind := behind(last.Value, o)
	if o.Bought || underway.UnderWay(b.briefed.Brief) { // what was to be bought there is bought, or never will be
		behind, match[0] = max(behind, match[0]+1), -1
	}
	accepted := underway.Orders(b.briefed.Brief, match, last.Value.Plan)
	steady, err := underway.Replan(ctx, b.briefed.Brief, accepted, underway.Options{Budget: o.Budget, Better: o.Better})
	if err != nil {
		return Replanned{}, fmt.Errorf("plan voyage %s anew: %w", voyage, err)
	}
	done, err := s.planned(b, steady.Plan)
	if err != nil {
		return Replanned{}, err
	}
	done.Seconds = s.now().Sub(began).Seconds()
	out := Replanned{Planned: done, Accepted: o.Accept,
		Difference: underway.Differ(b.briefed.Brief, steady, match, last.Value.Plan, behind, s.names(b.briefed))}
	if o.Accept {
		_, err = put(ctx, s, db.KindPlan, voyage, done, AnyRevision)
	}
	return out, err
}

// boardedFrom is the voyage from a day on with what is then aboard.
func (s *Service) boardedFrom(ctx context.Context, voyage string, last Planned, o ReplanOptions) (boarded, error) {
	v, it, set, err := s.settled(ctx, voyage)
	if err != nil {
		return boarded{}, err
	}
	if it, err = passage.From(it, o.Day); err != nil {
		return boarded{}, invalid("voyage "+voyage, err)
	}
	b, err := s.board(ctx, v, it, set)
	if err != nil {
		return boarded{}, err
	}
	if o.AsPlanned {
		if err := stowAsPlanned(&b.briefed, last, o); err != nil {
			return boarded{}, invalid("voyage "+voyage, err)
		}
	}
	if o.Bought {
		here := underway.Match(b.briefed.Brief, last.Brief)[0]
		underway.ShoppingDone(&b.briefed.Brief, last.Brief, last.Plan, here)
	}
	for _, space := range o.Lost {
		if b.briefed.Brief, err = underway.Lose(b.briefed.Brief, space); err != nil {
			return boarded{}, invalid("lost", err)
		}
	}
	return b, nil
}

// stowAsPlanned puts aboard what the last plan has aboard by now.
func stowAsPlanned(b *Briefed, last Planned, o ReplanOptions) error {
	now := underway.Now{Day: dayOf(last, o), Bought: o.Bought}
	held, err := underway.Aboard(last.Brief, last.Plan, now)
	if err != nil {
		return err
	}
	left := underway.Stow(&b.Brief, held, now.Day)
	if left > 0 {
		b.Notes.Said = append(b.Notes.Said, wording.Say("replan.left", wording.Count(left)))
	}
	return nil
}

// dayOf is the day asked for, in days of the last plan's brief.
func dayOf(last Planned, o ReplanOptions) float64 { return float64(o.Day - last.Notes.Start) }

// behind is how many stops of the last plan lie behind, the one we lie at too
// when its shopping is done.
func behind(last Planned, o ReplanOptions) int {
	n, day := 0, dayOf(last, o)
	for _, s := range last.Brief.Stops {
		if s.Depart < day || o.Bought && s.Arrive <= day {
			n++
		}
	}
	return n
}

// names are what the notes of a brief call things.
func (s *Service) names(b Briefed) underway.Names {
	items := map[string]brief.ItemNote{}
	for _, i := range b.Notes.Items {
		items[i.ID] = i
	}
	return underway.Names{
		Stop: func(stop int) string { return b.Notes.Stops[stop].Name },
		Item: func(id string) string { return items[id].Name },
		Amount: func(id string, amount float64) string {
			return measure.Of(amount).Format(items[id].Unit)
		},
	}
}
