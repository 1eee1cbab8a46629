package brief

import (
	"errors"
	"fmt"
	"slices"

	"hardtack/pricing"
	"hardtack/pricing/item"
	"hardtack/route/plan"
	"hardtack/route/port"
	"hardtack/route/vessel"
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
}

type servedItem struct {
	item      item.Item
	alternate int
}

// Build makes the brief the planner solves and the notes that explain it. The
// same input gives the same brief. Its error is ErrInput, vessel.ErrInvalid or
// plan.ErrMalformed.
func Build(in Input) (plan.Brief, Notes, error) {
	b := builder{in: in, notes: &Notes{}, uses: map[string]int{}, served: map[string]servedItem{}}
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

// How much one shopping trip carries by the size of the place, kg: a taxi or a
// trolley run where there are such, else what two carry and the dinghy takes.
// Common practice, no source.
var tripCarry = map[port.Size]float64{port.Town: 120, port.SmallTown: 60, port.Village: 40, port.NoShop: 40}

func (b *builder) planStops() []plan.Stop {
	var out []plan.Stop
	for s, stop := range b.stops {
		call, p := b.in.Itinerary.Calls[stop.Call], b.ports[stop.Call]
		carry := or(call.CarryKg, tripCarry[sizeOf(p)])
		st := plan.Stop{
			Port: string(p.ID), Arrive: stop.Arrive, Depart: stop.Depart, TripCarryKg: &carry,
			TripCost: or(call.TripCost, or(b.in.Options.TripCost, tripCost*b.perRef)),
		}
		if s < len(b.legs) {
			st.ReserveDays = b.legs[s].ReserveDays
		}
		out = append(out, st)
		b.notes.Stops = append(b.notes.Stops, StopNote{
			Stop: stop, Port: p.ID, Name: p.Name, Zone: p.Zone, Size: sizeOf(p), Currency: p.Currency,
			PersonDays: b.in.Crew.PersonDays(b.in.Itinerary.Start, stop.Arrive, stop.Depart, vessel.Heads),
			Adults: b.mean(stop.Arrive, stop.Depart, b.everybody(), func(p int) float64 {
				return b.in.Crew.Persons[p].Factor(item.Food)
			}),
		})
	}
	b.notes.Legs, b.notes.Start = b.legs, b.in.Itinerary.Start
	return out
}

func sizeOf(p port.Port) port.Size {
	if _, ok := tripCarry[p.Size]; ok {
		return p.Size
	}
	return port.SmallTown
}

// stowage joins the vessel's spaces by kind: a cylinder locker by what the
// cylinders hold, a tank by its litres.
func (b *builder) stowage() plan.Stowage {
	v := b.in.Vessel
	st := plan.Stowage{PayloadKg: v.PayloadKg}
	for _, k := range vessel.Kinds() {
		litres := b.room(k)
		if litres <= 0 {
			continue
		}
		note := SpaceNote{ID: string(k), Kind: k, Litres: litres}
		for _, s := range v.Spaces {
			if s.Kind == k {
				note.Of = append(note.Of, s.ID)
			}
		}
		st.Spaces = append(st.Spaces, plan.Space{ID: string(k), Litres: litres})
		b.notes.Spaces = append(b.notes.Spaces, note)
	}
	return st
}

func (b *builder) room(k vessel.SpaceKind) float64 { return room(b.in.Vessel, k) }

func room(v vessel.Vessel, k vessel.SpaceKind) float64 {
	if k == vessel.GasLocker {
		return v.GasCapacityKg() / gasDensity
	}
	return v.Fillable(k)
}

// need puts items, offers and costs to a demand.
func (b *builder) need(d demand) plan.Need {
	n := plan.Need{ID: d.id, Unit: string(d.need.Unit), UseInPort: d.inPort, UseAtSea: d.atSea}
	for a, alt := range d.alternates {
		i, ok := b.in.Catalogue.Items[alt.Item]
		if !ok || alt.Yield <= 0 {
			continue
		}
		if it, ok := b.item(d, a, i); ok {
			n.Items = append(n.Items, it)
		}
	}
	n.Reserve = b.reserve(n, d)
	b.costs(&n, d)
	return n
}

// id gives an item its id in the brief: the catalogue's, and when the item
// serves several needs, with the need behind it.
func (b *builder) id(i pricing.ItemID, d demand, a int) string {
	id := string(i)
	if b.uses[id]++; b.uses[id] > 1 {
		id += "@" + d.id
	}
	b.served[id] = servedItem{item: b.in.Catalogue.Items[i], alternate: a}
	return id
}

// alternateOf is the index of the demand's alternate behind an item.
func (b *builder) alternateOf(id string) int { return b.served[id].alternate }

// reserve is what is due of a need on every arrival: the rule of the contract,
// but nothing where no alternate would keep that long, and on the day a supply
// ship is due, what is used should it be late.
func (b *builder) reserve(n plan.Need, d demand) []float64 {
	out := make([]float64, len(b.legs))
	for l, leg := range b.legs {
		switch {
		case d.reserve != nil:
			out[l] = d.reserve[l]
		case leg.ShipWait > 0:
			out[l] = leg.ShipWait * d.inPort[l+1]
		default:
			out[l] = b.spare(n, l) * d.atSea[l]
		}
		if out[l] > 0 && !b.lastsTo(n, l) {
			out[l] = 0
		}
	}
	return out
}

// spare is for how many days a need is to be aboard on arrival after leg l. What
// is wanted at the end is not wanted of a need whose food is taken away there.
func (b *builder) spare(n plan.Need, l int) float64 {
	leg := b.legs[l]
	taken := func(it plan.Item) bool { return slices.Contains(it.SurrenderedAt, l+1) }
	if leg.Way == len(b.in.Itinerary.Ways)-1 && slices.ContainsFunc(n.Items, taken) {
		return max(0, leg.Long-leg.Days())
	}
	return leg.ReserveDays
}

// lastsTo says whether anything of a need bought before leg l can still be
// eaten when its reserve is due. Leg l follows stop l.
func (b *builder) lastsTo(n plan.Need, l int) bool {
	due := b.legs[l].Arrive + b.brief.Stops[l].ReserveDays
	for _, it := range n.Items {
		for _, k := range it.Keeps {
			for s := 0; s <= l; s++ {
				if b.stops[s].Depart+k.Days[s] >= due {
					return true
				}
			}
		}
	}
	return false
}

// dropUnsold leaves out the items that are neither sold anywhere nor aboard.
func (b *builder) dropUnsold() {
	for n := range b.brief.Needs {
		need := &b.brief.Needs[n]
		need.Items = slices.DeleteFunc(need.Items, func(it plan.Item) bool {
			return len(it.Offers) == 0 && len(it.Aboard) == 0
		})
	}
}
