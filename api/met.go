package api

import (
	"cmp"
	"context"
	"fmt"

	"hardtack/pricing/money"
	"hardtack/pricing/wording"
	"hardtack/route/plan"
	"hardtack/route/underway"
)

// Met is a price really asked for a pack on a shelf.
type Met struct {
	Item     string         `json:"item"`
	Pack     string         `json:"pack,omitempty"`     // as ShelfAsk
	Price    string         `json:"price"`              // of the pack: "4.49"
	Currency money.Currency `json:"currency,omitempty"` // empty: the port's
}

// MetOptions are the prices met at a stop, in the order they were met.
type MetOptions struct {
	Stop   int         `json:"stop"`
	Prices []Met       `json:"prices"`          // the answer is about the last; those before count as met
	Whole  bool        `json:"whole,omitempty"` // also plan every other need again from there
	Budget plan.Budget `json:"-"`               // of Whole
}

// Repriced is what a real price changes in a voyage's last plan.
type Repriced struct {
	Shelf      Shelf               `json:"shelf"`      // with its steps as all prices before stand
	Price      float64             `json:"price"`      // of the pack, the skipper's money
	Take       int                 `json:"take"`       // packs now
	Dearer     float64             `json:"dearer"`     // what the season costs more than before this price
	Difference underway.Difference `json:"difference"` // its needs planned again, all others as they are
	Whole      *WholeSeason        `json:"whole,omitempty"`
	Words      []string            `json:"words"`
}

// WholeSeason is what planning every need again adds to that.
type WholeSeason struct {
	Take       int                 `json:"take"`       // packs after it
	Saves      float64             `json:"saves"`      // against the answer at once
	Anyway     float64             `json:"anyway"`     // the same search saves so much without the new price
	Difference underway.Difference `json:"difference"` // against the answer at once
	Words      []string            `json:"words"`
}

// mostMet bounds the prices of one question.
const mostMet = 200

// Reprice says at once how many packs to take at a real price, and what
// changes elsewhere in the season. Nothing is kept: report the price, or carry
// the receipt home, and plan anew. Errors: ErrNotFound as Shelf, ErrInvalid.
func (s *Service) Reprice(ctx context.Context, voyage string, o MetOptions) (Repriced, error) {
	if len(o.Prices) == 0 || len(o.Prices) > mostMet {
		var fs faults
		fs.add("prices", fmt.Sprint(len(o.Prices)), fmt.Sprintf("1 to %d", mostMet))
		return Repriced{}, fs.err("prices met")
	}
	kept, err := s.LastPlan(ctx, voyage)
	if err != nil {
		return Repriced{}, err
	}
	s.asked.one.Lock()
	defer s.asked.one.Unlock()
	m := &meeting{Service: s, ctx: ctx, planned: kept.Value, metState: metState{brief: plan.Behind(kept.Value.Brief, kept.Value.Plan, o.Stop), plan: kept.Value.Plan}}
	for i := range o.Prices {
		last := i == len(o.Prices)-1
		key := fmt.Sprintf("%s %d %d %q", voyage, kept.Revision, o.Stop, o.Prices[:i+1])
		known, ok := s.asked.prices.get(key)
		if ok && (!last || known.answer != nil && !o.Whole) {
			m.metState = known
			continue
		}
		if err := m.meet(o, i, last); err != nil {
			return Repriced{}, err
		}
		s.asked.prices.put(key, m.metState, mostStates)
	}
	out := *m.answer
	if o.Whole {
		out.Whole, err = m.whole(o.Budget)
	}
	return out, err
}

// metState is a plan as prices met have changed it.
type metState struct {
	brief  plan.Brief
	plan   plan.Plan
	answer *Repriced // about the last of them; nil when it was not asked for
}

// meeting meets one price after the other.
type meeting struct {
	*Service
	metState
	ctx     context.Context
	planned Planned  // as kept
	before  metState // without the price the answer is about
}

func (m *meeting) meet(o MetOptions, i int, answer bool) error {
	met := o.Prices[i]
	x, err := m.named(m.planned, ShelfAsk{met.Item, o.Stop, met.Pack})
	if err != nil {
		return err
	}
	price, err := m.home(x, met, fmt.Sprintf("prices[%d].", i))
	if err != nil {
		return err
	}
	if m.brief, m.plan, err = x.put(m.brief, m.plan); err != nil {
		return err
	}
	x.Planned = x.taken(m.plan)
	m.before, m.answer = m.metState, nil
	if !answer {
		return m.reprice(x, func(sh plan.Shelf) (err error) {
			m.brief, m.plan, err = plan.Reprice(m.ctx, m.brief, m.plan, sh, price)
			return err
		})
	}
	var each [][]plan.Step
	err = m.reprice(x, func(sh plan.Shelf) (err error) {
		var steps []plan.Step
		m.brief, m.plan, steps, err = plan.Meet(m.ctx, m.brief, m.plan, sh, price)
		each = append(each, steps)
		return err
	})
	if err != nil {
		return err
	}
	x.fill(each)
	out := &Repriced{Shelf: x, Price: price, Take: x.taken(m.plan), Dearer: m.plan.Cost.Total - m.before.plan.Cost.Total}
	if out.Difference, err = m.differ(m.brief, m.before.plan, m.plan); err != nil {
		return err
	}
	out.Words = out.say()
	m.answer = out
	return nil
}

// reprice plans the needs of a shelf again, one after the other. Cut short it
// says nothing.
func (m *meeting) reprice(x Shelf, again func(plan.Shelf) error) error {
	for _, sh := range x.shelves {
		if err := again(sh); err != nil {
			return shelfError(err)
		}
	}
	return m.ctx.Err()
}

// home is a price met in the skipper's money.
func (m *meeting) home(x Shelf, met Met, path string) (float64, error) {
	var fs faults
	c := cmp.Or(met.Currency, x.There)
	a, err := money.Parse(met.Price, c)
	switch {
	case money.CheckCurrency(c) != nil:
		fs.add(path+"currency", quote(string(c)), "an ISO 4217 code such as EUR")
	case err != nil || a.Minor < 0 || a.Minor > maxMinor:
		fs.say(path+"price", wording.Say("fault.price", wording.Text(quote(met.Price)), wording.Text(string(c)), wording.Text(money.Amount{Minor: 1250, Currency: c}.Decimal())))
	}
	if err := fs.err("prices met"); err != nil || c == x.Currency {
		return a.Float(), err
	}
	if c == x.There && x.Local > 0 {
		return a.Float() / x.Local, nil
	}
	p, err := m.place(m.ctx)
	if err != nil {
		return 0, err
	}
	if per, _, err := m.rate(p)(c); err == nil && per > 0 && m.planned.Notes.PerRef > 0 {
		return a.Float() / per * m.planned.Notes.PerRef, nil
	}
	fs.add(path+"currency", quote(string(c)), "a currency with a rate of exchange; add one or say the price in another")
	return 0, fs.err("prices met")
}

// differ sets two plans of one brief side by side.
func (m *meeting) differ(b plan.Brief, old, p plan.Plan) (underway.Difference, error) {
	same := make([]int, len(b.Stops))
	for i := range same {
		same[i] = i
	}
	kept, err := underway.Restate(b, old, 0)
	if err != nil {
		return underway.Difference{}, fmt.Errorf("what the old lists cost now: %w", err)
	}
	moved := underway.Moved(b, underway.Orders(b, same, old), p)
	steady := underway.Steady{Plan: p, Best: p.Cost.Total, Kept: &kept.Cost, Moved: moved}
	return underway.Differ(b, steady, same, old, 0, m.names(Briefed{b, m.planned.Notes})), nil
}

// wholeWork is the usual budget for planning every need again: a second or
// two for a long season.
const wholeWork = 50_000

// whole plans every need again, with the price and without it.
func (m *meeting) whole(budget plan.Budget) (*WholeSeason, error) {
	budget.Work = cmp.Or(budget.Work, wholeWork)
	better, err := plan.Resume(m.ctx, m.brief, m.plan, budget)
	if err != nil {
		return nil, err
	}
	anyway, err := plan.Resume(m.ctx, m.before.brief, m.before.plan, budget)
	if err != nil {
		return nil, err
	}
	if err := m.ctx.Err(); err != nil {
		return nil, err
	}
	w := WholeSeason{Take: m.answer.Shelf.taken(better), Saves: m.plan.Cost.Total - better.Cost.Total, Anyway: m.before.plan.Cost.Total - anyway.Cost.Total}
	if w.Difference, err = m.differ(m.brief, m.plan, better); err != nil {
		return nil, err
	}
	w.Words = w.say(m.answer.Shelf)
	return &w, nil
}
