package api

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"math"
	"slices"

	"hardtack/pricing/measure"
	"hardtack/pricing/money"
	"hardtack/route/brief"
	"hardtack/route/plan"
)

// ShelfAsk names a pack on a shelf at a stop of a voyage's last plan.
type ShelfAsk struct {
	Item string `json:"item"`           // id in the catalogue or in the brief
	Stop int    `json:"stop"`           // of the brief, from 0
	Pack string `json:"pack,omitempty"` // as on the label: "500 g"; empty: the one planned, else the usual
}

// Shelf is how many packs to take as their price moves.
type Shelf struct {
	Item     string         `json:"item"` // of the catalogue where it has it
	Name     string         `json:"name"`
	Unit     measure.Unit   `json:"unit"`
	Stop     int            `json:"stop"`
	Port     string         `json:"port"`
	Pack     float64        `json:"pack"` // item-units
	Label    string         `json:"label"`
	Currency money.Currency `json:"currency"` // of the prices, the skipper's own
	There    money.Currency `json:"there"`    // of the port
	Local    float64        `json:"local"`    // of There to one of Currency; 0 = not known
	Expected float64        `json:"expected"` // price of the pack; 0 = it was not expected there
	Planned  int            `json:"planned"`  // packs the plan takes
	Steps    []ShelfStep    `json:"steps"`    // from the walk-away price down
	Words    []string       `json:"words"`    // the same, in words
	shelves  []plan.Shelf   // in the brief: one for each need the item serves
}

// ShelfStep says how many packs to take up to a price; none above the first.
type ShelfStep struct {
	Packs int      `json:"packs"`
	UpTo  *float64 `json:"up_to"` // a pack, Currency; null: at any price, as they must be had
	There *float64 `json:"there"` // the same in the port's money; null where not known
}

// Shelf gives the quantity steps of a pack, found by planning its needs again
// with every count while the rest of the plan stays. The item need be neither
// on the list nor expected there. Errors: ErrNotFound (no plan, stop, or need
// of the plan that the item serves), ErrInvalid (pack).
func (s *Service) Shelf(ctx context.Context, voyage string, ask ShelfAsk) (Shelf, error) {
	kept, err := s.LastPlan(ctx, voyage)
	if err != nil {
		return Shelf{}, err
	}
	x, err := s.named(kept.Value, ask)
	if err != nil {
		return Shelf{}, err
	}
	return s.steps(ctx, kept, x)
}

// named finds what is asked for in the plan.
func (s *Service) named(p Planned, ask ShelfAsk) (Shelf, error) {
	if ask.Stop < 0 || ask.Stop >= len(p.Brief.Stops) {
		return Shelf{}, fmt.Errorf("stop %d of voyage %s: %w, it has %d, counted from 0", ask.Stop, p.Voyage, ErrNotFound, len(p.Brief.Stops))
	}
	var notes []brief.ItemNote
	for _, n := range p.Notes.Items {
		if n.ID == ask.Item || string(n.Item) == ask.Item {
			notes = append(notes, n)
		}
	}
	if len(notes) == 0 {
		return Shelf{}, fmt.Errorf("item %q in the last plan of voyage %s: %w", ask.Item, p.Voyage, ErrNotFound)
	}
	at := p.Notes.Stops[ask.Stop]
	out := Shelf{Item: cmp.Or(string(notes[0].Item), notes[0].ID), Name: notes[0].Name, Unit: notes[0].Unit, Stop: ask.Stop, Port: at.Name,
		Currency: money.Currency(p.Brief.Currency), There: at.Currency, Steps: []ShelfStep{}, Words: []string{}}
	pack, err := s.packOf(p, notes[0], ask)
	if err != nil {
		return Shelf{}, err
	}
	out.Pack, out.Label = pack.Units(), pack.Format(out.Unit)
	if label := s.world.Catalogue.Items[notes[0].Item].PackLabel(pack); label != "" {
		out.Label = label
	}
	for _, n := range notes {
		out.shelves = append(out.shelves, plan.Shelf{Need: n.Need, Item: n.ID, Stop: ask.Stop, Pack: out.Pack})
		if o, ok := p.Notes.Offer(n.ID, ask.Stop, out.Pack); ok {
			out.Expected = cmp.Or(out.Expected, o.Price)
		}
	}
	out.Planned = out.taken(p.Plan)
	out.Local, err = s.localRate(p, at)
	return out, err
}

// packOf is the pack named, else the one the plan buys most of there, else one
// that is offered there, else the usual.
func (s *Service) packOf(p Planned, n brief.ItemNote, ask ShelfAsk) (measure.Quantity, error) {
	if ask.Pack != "" {
		q, err := measure.ParsePack(ask.Pack, n.Unit)
		if err != nil || q <= 0 || q.Units() > maxPack {
			var fs faults
			fs.add("pack", quote(ask.Pack), n.Name+" in "+measure.Wants(n.Unit))
			return 0, fs.err("shelf")
		}
		return q, nil
	}
	most, pack := 0, measure.Quantity(0)
	for _, x := range p.Plan.Purchases {
		if x.Item == n.ID && x.Stop == ask.Stop && x.Packs > most {
			most, pack = x.Packs, measure.Of(x.Pack)
		}
	}
	for _, o := range p.Notes.Offers {
		if pack == 0 && o.Item == n.ID && o.Stop == ask.Stop {
			pack = o.Pack
		}
	}
	return cmp.Or(pack, s.world.Catalogue.Items[n.Item].ListPack, measure.One), nil
}

// localRate is what one unit of the skipper's money is in the port's: as the
// plan has it, else by today's rate; 0 where there is none.
func (s *Service) localRate(p Planned, at brief.StopNote) (float64, error) {
	if at.Currency == p.Notes.Home {
		return 1, nil
	}
	for _, o := range p.Notes.Offers {
		if o.Currency == at.Currency && o.Local > 0 && o.Price > 0 {
			return o.Local / o.Price, nil
		}
	}
	return 0, nil
}

// put offers the pack in the brief, where it is not.
func (x *Shelf) put(b plan.Brief, p plan.Plan) (plan.Brief, plan.Plan, error) {
	for _, sh := range x.shelves {
		var err error
		if b, p, err = plan.Found(b, p, sh); err != nil {
			return b, p, shelfError(err)
		}
	}
	return b, p, nil
}

func shelfError(err error) error {
	if errors.Is(err, plan.ErrNoOffer) {
		return fmt.Errorf("%w: %w", ErrNotFound, err)
	}
	return err
}

// ask finds the steps.
func (x *Shelf) ask(ctx context.Context, b plan.Brief, p plan.Plan) error {
	var each [][]plan.Step
	for _, sh := range x.shelves {
		steps, err := plan.Steps(ctx, b, p, sh)
		if err != nil {
			return shelfError(err)
		}
		each = append(each, steps)
	}
	if err := ctx.Err(); err != nil {
		return err // steps cut short say nothing
	}
	x.fill(each)
	return nil
}

// fill fills in the steps of all needs that are served.
func (x *Shelf) fill(each [][]plan.Step) {
	for _, st := range plan.Together(each...) {
		step := ShelfStep{Packs: st.Packs}
		if !math.IsInf(st.UpTo, 1) {
			upTo := st.UpTo
			step.UpTo = &upTo
			if x.Local > 0 {
				there := upTo * x.Local
				step.There = &there
			}
		}
		x.Steps = append(x.Steps, step)
	}
	x.Words = x.say()
}

// taken is how many of the packs a plan buys.
func (x *Shelf) taken(p plan.Plan) int {
	packs := 0
	for _, b := range p.Purchases {
		if b.Stop == x.Stop && b.Pack == x.Pack && slices.ContainsFunc(x.shelves, func(s plan.Shelf) bool { return s.Item == b.Item }) {
			packs += b.Packs
		}
	}
	return packs
}

func (x *Shelf) say() []string {
	if len(x.Steps) == 0 {
		return []string{fmt.Sprintf("%s, %s at %s: not worth taking at any price.", x.Name, x.Label, x.Port)}
	}
	var out []string
	for _, st := range x.Steps {
		if st.UpTo == nil {
			out = append(out, fmt.Sprintf("Take %d × %s at any price: they must be had.", st.Packs, x.Label))
			continue
		}
		out = append(out, fmt.Sprintf("Up to %s take %d × %s.", x.price(*st.UpTo), st.Packs, x.Label))
	}
	if first := x.Steps[0].UpTo; first != nil {
		out = append(out, fmt.Sprintf("Above %s take none.", x.price(*first)))
	}
	return out
}

// price is a price of a pack in the skipper's money and the port's.
func (x *Shelf) price(home float64) string {
	text := fmt.Sprintf("%.2f %s", home, x.Currency)
	if x.Local > 0 && x.There != x.Currency {
		text = fmt.Sprintf("%.2f %s = %s", home*x.Local, x.There, text)
	}
	return text
}
