package brief

import (
	"hardtack/pricing"
	"hardtack/pricing/item"
	"hardtack/route"
	"hardtack/route/keeping"
	"hardtack/route/vessel"
)

// Keeper says how long things keep aboard along an itinerary.
type Keeper struct {
	track  keeping.Track
	vessel vessel.Vessel
	end    float64 // last departure, days since start
}

// NewKeeper follows a vessel along an itinerary.
func NewKeeper(it route.Itinerary, ports Ports, v vessel.Vessel) Keeper {
	lat := func(id pricing.PortID) (float64, bool) {
		p, ok := ports.Port(id)
		return p.Position.Lat, ok
	}
	k := Keeper{track: keeping.NewTrack(it, lat, v), vessel: v}
	if n := len(it.Calls); n > 0 {
		k.end = it.Calls[n-1].Depart
	}
	return k
}

// beyond is how far after the voyage's end a life is still told apart, days:
// longer than any reserve.
const beyond = 60

// Life is how long an item stowed in a kind of space at a moment of the voyage
// stays good at the temperatures met on the way, in days; 0 where it does not
// belong. Past the voyage's end and two months it is not told.
func (k Keeper) Life(i item.Item, kind vessel.SpaceKind, from float64) float64 {
	return k.track.Met(kind, from).Days(i, k.horizon(from))
}

// horizon is how far from a moment on lives are told, in days.
func (k Keeper) horizon(from float64) float64 { return max(0, k.end-from) + beyond }

// Longest is the longest an item keeps in any space of the vessel that suits
// it, in days from a moment of the voyage, and where; 0 and nowhere when none
// takes it.
func (k Keeper) Longest(i item.Item, from float64) (float64, vessel.SpaceKind) {
	best, in := 0.0, vessel.SpaceKind("")
	for _, kind := range kinds(i) {
		if room(k.vessel, kind) <= 0 {
			continue
		}
		if d := k.Life(i, kind, from); d > best {
			best, in = d, kind
		}
	}
	return best, in
}
