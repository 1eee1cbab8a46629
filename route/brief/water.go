package brief

import (
	"math"
	"slices"
	"strings"

	"hardtack/pricing/item"
	"hardtack/route/vessel"
)

// Water per adult and day in litres: drinking and food in a temperate climate
// and in the tropics, then galley and washing at sea, in port, and on ration.
// Judgement of the trade; the ration is not below the 2.5–3 L that the Sphere
// Handbook 2011 gives for drinking and food alone.
const (
	drinkTemperate = 2.8
	drinkTropical  = 3.5
	galleyAtSea    = 1.2
	galleyInPort   = 2.5
	galleyRation   = 0.7
)

// Gas per person and day in kg: judgement of the trade, with hardly any
// baking, and with bread from the oven every day.
const (
	gasPlain  = 0.055
	gasBaking = 0.10
)

// gasDensity is liquid LPG in kg per litre; it only turns cylinders into room.
const gasDensity = 0.54

// isWater and isGas know the needs whose amounts follow from the boat.
func isWater(n item.Need) bool {
	return strings.HasPrefix(n.Group, "water") || hasAlternate(n, "water_tank")
}

func isGas(n item.Need) bool { return n.Group == "lpg" || hasAlternate(n, "lpg") }

func hasAlternate(n item.Need, id string) bool {
	return slices.ContainsFunc(n.Alternates, func(a item.Alternate) bool { return string(a.Item) == id })
}

// drinking is the climate's litres per adult for a latitude.
func drinking(lat float64) float64 {
	if math.Abs(lat) < 25 {
		return drinkTropical
	}
	return drinkTemperate
}

// waterUse is what the crew uses of water per day between two moments: adults'
// drinking by age, the galley each the same.
func (b *builder) waterUse(from, to, lat, galley float64) float64 {
	drink := drinking(lat)
	said := b.in.Options.WaterLPerDay
	return b.mean(from, to, b.everybody(), func(p int) float64 {
		if said > 0 {
			return said
		}
		return b.in.Crew.Persons[p].WaterFactor()*drink + galley
	})
}

// ration is what the crew uses per day on ration.
func (b *builder) ration(l Leg, lat float64) float64 {
	drink := drinking(lat)
	said := b.in.Options.RationLPerDay
	return b.mean(l.Depart, l.Arrive, b.everybody(), func(p int) float64 {
		if said > 0 {
			return said
		}
		return b.in.Crew.Persons[p].WaterFactor()*drink + galleyRation
	})
}

// legLat is the latitude nearest the equator on a leg's ends: the warmer one.
func (b *builder) legLat(l Leg) float64 {
	if l.Way < 0 {
		return 90
	}
	from, to := b.ports[l.Way].Position.Lat, b.ports[l.Way+1].Position.Lat
	if math.Abs(to) < math.Abs(from) || from*to < 0 {
		return to
	}
	return from
}

// waterDemand is water from ashore: in port all that is used, for nobody
// should run a watermaker in a harbour; at sea what the watermaker does not
// make. The reserve covers the whole of each leg at its long length, on ration,
// with the watermaker dead from the first mile.
func (b *builder) waterDemand(need item.Need) demand {
	d := demand{id: need.ID, name: need.Name, need: need, alternates: need.Alternates}
	for _, s := range b.stops {
		lat := b.ports[s.Call].Position.Lat
		d.inPort = append(d.inPort, b.waterUse(s.Arrive, s.Depart, lat, galleyInPort))
	}
	for _, l := range b.legs {
		lat := b.legLat(l)
		use := max(0, b.waterUse(l.Depart, l.Arrive, lat, galleyAtSea)-b.in.Vessel.WatermakerLPerDay)
		ration := b.ration(l, lat)
		d.atSea = append(d.atSea, use)
		d.reserve = append(d.reserve, waterReserve(l, use, ration, b.waitUse(d, l)))
		b.notes.RationL = append(b.notes.RationL, ration)
	}
	return d
}

// waterReserve is due on arrival so that what was aboard at departure lasts
// the long length of the leg on ration.
func waterReserve(l Leg, use, ration, wait float64) float64 {
	if l.Way < 0 {
		return wait
	}
	return max(ration*(l.Long-l.Days()), ration*l.Long-use*l.Days())
}

// waitUse is what a ship that comes late makes the crew use, where leg l is
// the empty one before the day the ship is due.
func (b *builder) waitUse(d demand, l Leg) float64 {
	if l.ShipWait == 0 {
		return 0
	}
	for s, stop := range b.stops {
		if stop.Arrive == l.Arrive && stop.Open {
			return l.ShipWait * d.inPort[s]
		}
	}
	return 0
}

// gasDemand is gas by persons aboard, the same at sea and in port.
func (b *builder) gasDemand(need item.Need) demand {
	d := demand{id: need.ID, name: need.Name, need: need, alternates: need.Alternates}
	per := b.in.Options.GasKgPerDay
	switch {
	case per > 0:
	case b.in.Vessel.OvenBread:
		per = gasBaking
	default:
		per = gasPlain
	}
	each := func(int) float64 { return per } // children's meals take a flame too
	for _, s := range b.stops {
		ashore := b.in.Itinerary.Calls[s.Call].Ashore
		d.inPort = append(d.inPort, (1-ashore)*b.mean(s.Arrive, s.Depart, b.everybody(), each))
	}
	for _, l := range b.legs {
		use := b.mean(l.Depart, l.Arrive, b.everybody(), each)
		d.atSea = append(d.atSea, use)
		d.reserve = append(d.reserve, use*max(0, l.Long-l.Days())+b.waitUse(d, l))
	}
	return d
}

// waterKinds puts tank water into the tanks: no kilograms for the payload, no
// litres of lockers. Jugs and bottles are stowed and weighed as they are.
func waterKinds(id string) []vessel.SpaceKind {
	if id == "water_tank" {
		return []vessel.SpaceKind{vessel.Tank}
	}
	return []vessel.SpaceKind{vessel.Deck, vessel.Dry, vessel.Cool}
}
