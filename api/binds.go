package api

import (
	"context"
	"fmt"

	"hardtack/pricing/money"
	"hardtack/pricing/wording"
	"hardtack/route/plan"
)

// Bindings are what limits a voyage's last plan.
type Bindings struct {
	Voyage   string         `json:"voyage"`
	Currency money.Currency `json:"currency"`
	Work     int            `json:"work"` // schedules tried for each of them
	Binds    []Binding      `json:"binds"`
}

// Binding is one limit and what one more of it saves over the season.
type Binding struct {
	plan.Bind
	Told wording.Remark `json:"told"`
}

// bindsWork is the usual budget of each search; there are some two for a space.
const bindsWork = 20_000

// Binds says what limits a voyage's last plan and what one more litre of a
// space, kilogram, day of keeping or a day less of reserve saves, each found
// by planning again with it. It takes some seconds a space, once for a plan.
// Errors: ErrNotFound (no plan), or that of ctx.
func (s *Service) Binds(ctx context.Context, voyage string, budget plan.Budget) (Bindings, error) {
	kept, err := s.LastPlan(ctx, voyage)
	if err != nil {
		return Bindings{}, err
	}
	if budget.Work == 0 {
		budget.Work = bindsWork
	}
	key := bindsKey(kept.Revision, budget)
	if known, ok := s.asked.binds.get(key); ok {
		return known, nil
	}
	p := kept.Value
	found, err := plan.Binds(ctx, p.Brief, p.Plan, budget)
	if err != nil {
		return Bindings{}, fmt.Errorf("what limits the plan of voyage %s: %w", voyage, err)
	}
	out := Bindings{Voyage: voyage, Currency: money.Currency(p.Brief.Currency), Work: budget.Work, Binds: []Binding{}}
	for _, b := range found {
		out.Binds = append(out.Binds, Binding{b, p.tellBind(b)})
	}
	s.asked.binds.put(key, out, mostBinds)
	s.asked.binds.put(lastBinds(kept.Revision), out, mostBinds)
	return out, nil
}

// KnownBinds are the bindings of a plan as they were worked out last.
func (s *Service) KnownBinds(kept Kept[Planned]) (Bindings, bool) {
	return s.asked.binds.get(lastBinds(kept.Revision))
}

func lastBinds(revision int64) string { return fmt.Sprint(revision) }

func bindsKey(revision int64, b plan.Budget) string { return fmt.Sprint(revision, b.Seed, b.Work) }

// tellBind is a limit as a remark.
func (p Planned) tellBind(b plan.Bind) wording.Remark {
	facts := []wording.Fact{wording.Number(b.Saves, 2), wording.Text(p.Brief.Currency)}
	if b.Space != "" {
		facts = append(facts, wording.Word("space."+b.Space))
	}
	told := wording.Say("bind."+string(b.What), facts...)
	if len(b.Full) == 0 {
		return told
	}
	var stops []wording.Fact
	for _, s := range b.Full {
		stops = append(stops, wording.Text(p.Notes.Stops[s].Name))
	}
	return wording.Say("bind.full", wording.Said(told), wording.List(stops...))
}
