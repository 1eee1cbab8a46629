package keeping

import (
	"sort"

	"hardtack/pricing"
	"hardtack/pricing/calendar"
	"hardtack/pricing/item"
	"hardtack/route"
	"hardtack/route/vessel"
)

// Track is where the boat is over the days of a voyage, as far as it matters
// to its lockers, and what was logged in them.
type Track struct {
	start  calendar.Day
	fixes  []fix
	logged func(vessel.SpaceKind) (float64, bool)
}

type fix struct{ day, lat float64 }

// NewTrack follows an itinerary; lat gives the latitude of its ports, and a
// port it does not know leaves the track between its neighbours. Waypoints are
// passed at equal intervals.
func NewTrack(it route.Itinerary, lat func(pricing.PortID) (float64, bool), v vessel.Vessel) Track {
	t := Track{start: it.Start, logged: v.Temp}
	for k, call := range it.Calls {
		if y, ok := lat(call.Port); ok {
			t.fixes = append(t.fixes, fix{call.Arrive, y}, fix{call.Depart, y})
		}
		if k+1 == len(it.Calls) {
			break
		}
		via, next := call.Leg.Via, it.Calls[k+1].Arrive
		for n, p := range via {
			at := call.Depart + (next-call.Depart)*float64(n+1)/float64(len(via)+1)
			t.fixes = append(t.fixes, fix{at, p.Lat})
		}
	}
	return t
}

// Lat is the latitude on a day after the start, before the first fix and after
// the last as at these; 0 without any.
func (t Track) Lat(day float64) float64 {
	n := len(t.fixes)
	k := sort.Search(n, func(k int) bool { return t.fixes[k].day >= day })
	switch {
	case n == 0:
		return 0
	case k == 0:
		return t.fixes[0].lat
	case k == n:
		return t.fixes[n-1].lat
	}
	a, b := t.fixes[k-1], t.fixes[k]
	if b.day == a.day {
		return b.lat
	}
	return a.lat + (b.lat-a.lat)*(day-a.day)/(b.day-a.day)
}

// Temp is the temperature of a kind of space on a day after the start: as
// logged, else by the climate where the boat is then.
func (t Track) Temp(kind vessel.SpaceKind, day float64) float64 {
	if t.logged != nil {
		if c, ok := t.logged(kind); ok {
			return c
		}
	}
	return Climate(kind, t.Lat(day), (t.start + calendar.Day(day)).Time().YearDay())
}

// Met is what a kind of space comes to from a day on. It is worked out as far
// as it is asked for, so one goroutine may use it at a time.
type Met struct {
	track Track
	kind  vessel.SpaceKind
	from  float64
	temps []float64 // °C, of the middle of each day
}

// Met is what an item stowed in a kind of space on a day after the start meets.
func (t Track) Met(kind vessel.SpaceKind, from float64) *Met {
	return &Met{track: t, kind: kind, from: from}
}

// Days is how long an item stays good, at most horizon; 0 where it does not
// belong. A day is the step, for the climate has no shorter one.
func (m *Met) Days(it item.Item, horizon float64) float64 {
	if !Suits(it, m.kind) {
		return 0
	}
	days, ok := life(it, m.temp, horizon, 1)
	if !ok {
		return 0
	}
	return days
}

// temp is that of the middle of a day.
func (m *Met) temp(day float64) float64 {
	for n := len(m.temps); float64(n) < day; n++ {
		m.temps = append(m.temps, m.track.Temp(m.kind, m.from+(float64(n)+0.5)))
	}
	return m.temps[int(day)]
}
