package brief

import (
	"hardtack/pricing/item"
	"hardtack/route/plan"
	"hardtack/route/port"
	"hardtack/route/vessel"
)

// How much one shopping trip carries by the size of the place, kg: a taxi or a
// trolley run where there are such, else what two carry and the dinghy takes.
// Common practice, no source.
var tripCarry = map[port.Size]float64{port.Town: 120, port.SmallTown: 80, port.Village: 60, port.NoShop: 60}

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
