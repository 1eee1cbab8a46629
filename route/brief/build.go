package brief

import (
	"errors"
	"fmt"

	"hardtack/pricing/item"
	"hardtack/route/keeping"
	"hardtack/route/plan"
	"hardtack/route/port"
)

// ErrInput is an input no brief can be built from; the message says what is
// wrong and where.
var ErrInput = errors.New("cannot build a brief")

// builder is a brief in the making.
type builder struct {
	in Input
	timetable
	ports  []port.Port // by call
	perRef float64     // home currency per reference currency
	keeper Keeper
	notes  *Notes
	brief  plan.Brief
	uses   map[string]int // how often a catalogue item was used as an id
	served map[string]servedItem
	lives  map[alike][]float64 // by stop
	met    map[meeting]*keeping.Met
}

type servedItem struct {
	item      item.Item
	alternate int
}

// Build makes the brief the planner solves and the notes that explain it. The
// same input gives the same brief. Its error is ErrInput, vessel.ErrInvalid or
// plan.ErrMalformed.
func Build(in Input) (plan.Brief, Notes, error) {
	b := builder{in: in, notes: &Notes{}, uses: map[string]int{}, served: map[string]servedItem{}, lives: map[alike][]float64{}, met: map[meeting]*keeping.Met{}}
	if err := b.settle(); err != nil {
		return plan.Brief{}, Notes{}, err
	}
	b.brief = plan.Brief{
		Version: 1, Currency: string(in.Home), Start: in.Itinerary.Start.String(),
		Stops: b.planStops(), Stowage: b.stowage(),
	}
	for _, d := range b.allDemands() {
		if !d.idle() {
			b.brief.Needs = append(b.brief.Needs, b.need(d))
		}
	}
	b.shareLots()
	b.grantWishes()
	b.dropUnsold()
	b.assumptions()
	if err := b.brief.Check(); err != nil {
		return plan.Brief{}, Notes{}, fmt.Errorf("%w: %w", ErrInput, err)
	}
	b.notes.reindex()
	return b.brief, *b.notes, nil
}

// settle checks the input and lays down the timetable.
func (b *builder) settle() error {
	in := b.in
	if err := errors.Join(in.Vessel.Validate(), in.Crew.Validate()); err != nil {
		return err
	}
	if err := in.Crew.CheckWords(in.Catalogue); err != nil {
		return err
	}
	if n := len(in.Itinerary.Calls); n < 2 || len(in.Itinerary.Ways) != n-1 {
		return fmt.Errorf("%w: the voyage %q has %d stops and %d legs, want two stops or more and a leg between each",
			ErrInput, in.Itinerary.Voyage, n, len(in.Itinerary.Ways))
	}
	for i, c := range in.Itinerary.Calls {
		p, ok := in.Ports.Port(c.Port)
		if !ok {
			return fmt.Errorf("%w: stops[%d].port: %q is not in the gazetteer", ErrInput, i, c.Port)
		}
		b.ports = append(b.ports, p)
	}
	if err := b.homeRate(); err != nil {
		return err
	}
	b.keeper = NewKeeper(in.Itinerary, in.Ports, in.Vessel)
	b.stops, b.legs = split(in.Itinerary, in.Options)
	return nil
}

func (b *builder) homeRate() error {
	b.perRef = 1
	b.notes.Home = b.in.Home
	if b.in.Home == b.in.Prices.Currency {
		return nil
	}
	x, day, err := b.in.Rate(b.in.Home)
	if err != nil {
		return fmt.Errorf("%w: home currency %s: %w", ErrInput, b.in.Home, err)
	}
	b.perRef, b.notes.RateDay = x, day
	return nil
}

// allDemands is the catalogue's needs, the boat's water and gas, and the
// fixed dishes, in list order.
func (b *builder) allDemands() []demand {
	cat := &item.Catalogue{Items: b.in.Catalogue.Items}
	var special []demand
	for _, n := range b.in.Catalogue.Needs {
		switch {
		case isWater(n):
			if !hasDemand(special, isWater) {
				special = append(special, b.waterDemand(n))
			}
		case isGas(n):
			if !hasDemand(special, isGas) && len(b.in.Vessel.Cylinders) > 0 {
				special = append(special, b.gasDemand(n))
			}
		case isFixed(n.ID):
		default:
			cat.Needs = append(cat.Needs, n)
		}
	}
	masks := eatersOf(b.in.Crew, cat, b.in.Vessel.OvenBread)
	daily := b.demands(cat, ratesOf(b.in.Crew, cat, masks, b.notes), masks)
	return append(append(special, daily...), b.fixedDemands()...)
}

func hasDemand(d []demand, is func(item.Need) bool) bool {
	for _, x := range d {
		if is(x.need) {
			return true
		}
	}
	return false
}
