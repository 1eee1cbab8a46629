package api

import (
	"context"
	"errors"
	"fmt"
	"math"
	"slices"

	"hardtack/db"
	"hardtack/pricing"
	"hardtack/pricing/calendar"
	"hardtack/route/shopping"

	"github.com/google/uuid"
)

// Draft is a list being shopped: everything as it was typed, right or wrong,
// so that nothing is lost when a phone dies in the shop.
type Draft struct {
	Voyage  string           `json:"voyage"`
	Call    shopping.Call    `json:"call"`    // when it was begun
	Receipt string           `json:"receipt"` // UUID: what comes of the draft gets its ids from it
	Shop    string           `json:"shop,omitempty"`
	Day     string           `json:"day,omitempty"`
	Money   string           `json:"money,omitempty"` // currency paid in
	Sum     string           `json:"sum,omitempty"`   // on the receipt
	Lines   []DraftLine      `json:"lines"`
	Booked  []pricing.ItemID `json:"booked,omitempty"` // of this list, by receipts before
	Days    []calendar.Day   `json:"days,omitempty"`   // of those receipts
}

// DraftLine is what was typed about one item.
type DraftLine struct {
	Item  pricing.ItemID `json:"item"`
	Got   bool           `json:"got,omitempty"`
	None  bool           `json:"none,omitempty"`  // looked for in vain
	Price string         `json:"price,omitempty"` // of one pack
	Pack  string         `json:"pack,omitempty"`
	Count string         `json:"count,omitempty"` // packs
	Space string         `json:"space,omitempty"`
	For   pricing.ItemID `json:"for,omitempty"` // the item of the list this was taken instead of
}

// Touched says whether anything was said about the item.
func (l DraftLine) Touched() bool {
	return l.Got || l.None || l.Price != "" || l.Pack != "" || l.Count != ""
}

// Longest texts of a draft, in characters, and most lines.
const (
	maxTyped      = 200
	maxDraftLines = 1000
)

// Call is the call of a stop of the plan.
func (p Planned) Call(stop int) shopping.Call {
	n := p.Notes.Stops[stop]
	return shopping.Call{Port: n.Port, Arrive: p.Notes.Start + calendar.Day(math.Floor(n.Arrive+1e-9))}
}

// StopOf is the stop of the plan that a call is, or has become: the one at its
// port nearest in time, at most movedDays away. False when there is none.
func (p Planned) StopOf(call shopping.Call) (int, bool) {
	best, least := 0, calendar.Day(movedDays+1)
	for i := range p.Notes.Stops {
		at := p.Call(i)
		if off := max(at.Arrive-call.Arrive, call.Arrive-at.Arrive); at.Port == call.Port && off < least {
			best, least = i, off
		}
	}
	return best, least <= movedDays
}

// Draft gives the draft of a stop's list; one not begun is empty and has the
// revision Absent. It stays with its call when stops before it are left out or
// its days move, see StopOf.
func (s *Service) Draft(ctx context.Context, p Planned, stop int) (Kept[Draft], error) {
	if _, err := s.Voyage(ctx, p.Voyage); err != nil {
		return Kept[Draft]{}, err
	}
	all, err := list[Draft](ctx, s, db.KindDraft)
	if err != nil {
		return Kept[Draft]{}, err
	}
	for _, k := range all {
		if of, ok := p.StopOf(k.Value.Call); ok && of == stop && k.Value.Voyage == p.Voyage {
			return k, nil
		}
	}
	return Kept[Draft]{Value: Draft{Receipt: s.newID(), Voyage: p.Voyage, Call: p.Call(stop)}}, nil
}

// movedDays is how far an arrival may move before its list is another one.
const movedDays = 21

// ID names the draft.
func (d Draft) ID() string {
	return uuid.NewSHA1(uuid.NameSpaceURL, []byte("draft "+d.Voyage+" "+d.Call.String())).String()
}

// mostRivals is how many changes may come between before a change is given up.
const mostRivals = 60

// ChangeDraft changes whatever the draft is now, again if another change came
// between: two phones in one shop do not undo each other's lines.
func (s *Service) ChangeDraft(ctx context.Context, p Planned, stop int, change func(*Draft)) (Kept[Draft], error) {
	for n := 0; ; n++ {
		kept, err := s.Draft(ctx, p, stop)
		if err != nil {
			return kept, err
		}
		d := kept.Value
		d.Lines = slices.Clone(d.Lines)
		change(&d)
		if err := d.check(); err != nil {
			return kept, err
		}
		next, err := put(ctx, s, db.KindDraft, d.ID(), d, kept.Revision)
		if err == nil || !(errors.Is(err, ErrStale) || errors.Is(err, ErrConflict)) || n == mostRivals {
			return next, err
		}
	}
}

// Set puts a line in place of the one of the same item taken for the same.
func (d *Draft) Set(l DraftLine) {
	i := slices.IndexFunc(d.Lines, func(x DraftLine) bool { return x.Item == l.Item && x.For == l.For })
	switch {
	case i >= 0 && l.Touched():
		d.Lines[i] = l
	case i >= 0:
		d.Lines = slices.Delete(d.Lines, i, i+1)
	case l.Touched():
		d.Lines = append(d.Lines, l)
	}
}

// check bounds a draft; what is typed need not make sense.
func (d Draft) check() error {
	var fs faults
	if len(d.Lines) > maxDraftLines {
		fs.add("lines", fmt.Sprint(len(d.Lines)), fmt.Sprintf("at most %d", maxDraftLines))
	}
	texts := map[string]string{"shop": d.Shop, "day": d.Day, "money": d.Money, "sum": d.Sum}
	for i, l := range d.Lines {
		for name, text := range map[string]string{"price": l.Price, "pack": l.Pack, "count": l.Count, "space": l.Space, "item": string(l.Item)} {
			texts[fmt.Sprintf("lines[%d].%s", i, name)] = text
		}
	}
	for path, text := range texts {
		if want := wantText(text, maxTyped); want != "" {
			fs.add(path, quote(text), want)
		}
	}
	return fs.err("draft")
}

// Booked ends a draft whose receipt was recorded: its items of the list are
// done, and a new receipt may begin.
func (s *Service) Booked(ctx context.Context, p Planned, stop int, receipt string) (Kept[Draft], error) {
	return s.ChangeDraft(ctx, p, stop, func(d *Draft) {
		if d.Receipt != receipt {
			return // done before
		}
		done := Draft{Voyage: d.Voyage, Call: d.Call, Receipt: s.newID(), Booked: d.Booked, Days: append(d.Days, s.Today())}
		for _, l := range d.Lines {
			id := l.Item
			if l.For != "" {
				id = l.For
			}
			if !slices.Contains(done.Booked, id) {
				done.Booked = append(done.Booked, id)
			}
		}
		*d = done
	})
}

// Aisles is the order in which the skipper walks a shop: categories of the
// catalogue. Those not named come behind, in catalogue order.
func (s *Service) Aisles(ctx context.Context) ([]string, error) {
	kept, err := get[[]string](ctx, s, db.KindAisles, "own")
	if err != nil && !isNotFound(err) {
		return nil, err
	}
	order := slices.DeleteFunc(kept.Value, func(c string) bool { return !slices.Contains(s.categories(), c) })
	for _, c := range s.categories() {
		if !slices.Contains(order, c) {
			order = append(order, c)
		}
	}
	return order, nil
}

// PutAisles keeps that order. Errors: ErrInvalid for what is no category.
func (s *Service) PutAisles(ctx context.Context, order []string) error {
	var fs faults
	for i, c := range order {
		if !slices.Contains(s.categories(), c) {
			fs.add(fmt.Sprintf("aisles[%d]", i), quote(c), "a category of the catalogue")
		}
	}
	if err := fs.err("aisles"); err != nil {
		return err
	}
	_, err := put(ctx, s, db.KindAisles, "own", order, AnyRevision)
	return err
}

// categories of the catalogue, in its order.
func (s *Service) categories() []string {
	var out []string
	for _, id := range s.world.Catalogue.Order {
		if c := s.world.Catalogue.Items[id].Category; !slices.Contains(out, c) {
			out = append(out, c)
		}
	}
	return out
}
