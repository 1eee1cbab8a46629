package vessel

import (
	"fmt"
	"hardtack/pricing/wording"
	"slices"
)

// Locker is a named place within a space of the vessel, small enough to be
// opened and searched in one go.
type Locker struct {
	ID     string   `json:"id"`
	Space  string   `json:"space"`             // the space it is part of
	Litres float64  `json:"litres,omitzero"`   // that can be filled; 0 = not measured
	MaxKg  float64  `json:"max_kg,omitzero"`   // 0 = no limit known
	Wet    bool     `json:"wet,omitempty"`     // only bottles and plastic
	Hot    bool     `json:"hot,omitempty"`     // engine side or under the deck: no chocolate, oil, tins
	AtSea  bool     `json:"at_sea,omitempty"`  // can be reached under way without moving a bunk
	Low    bool     `json:"low,omitempty"`     // below the sole or the waterline
	Side   Side     `json:"side,omitempty"`    // of the centre line; empty = amidships
	Sealed bool     `json:"sealed,omitempty"`  // one an officer can seal: bonded goods
	TempC  *float64 `json:"temp_c,omitempty"`  // as read there; nil = by space and climate
	ReadOn string   `json:"read_on,omitempty"` // day of TempC, YYYY-MM-DD
}

// Side of the centre line.
type Side string

// The two sides; a locker amidships has none.
const (
	Port      Side = "port"
	Starboard Side = "starboard"
)

// CheckLockers checks lockers against the vessel's spaces and names every
// fault with its path. Its error is ErrInvalid.
func (v Vessel) CheckLockers(lockers []Locker) error {
	var f faults
	seen := map[string]bool{}
	for i, l := range lockers {
		path := fmt.Sprintf("lockers[%d]", i)
		switch {
		case l.ID == "":
			f.add(path+".id", "fault.locker_id")
		case seen[l.ID]:
			f.add(path+".id", "fault.locker_taken", wording.Text(l.ID))
		}
		seen[l.ID] = true
		if !slices.ContainsFunc(v.Spaces, func(s Space) bool { return s.ID == l.Space }) {
			f.add(path+".space", "fault.no_space", wording.Text(l.Space))
		}
		f.number(path+".litres", l.Litres, 0, maxLitres)
		f.number(path+".max_kg", l.MaxKg, 0, maxKg)
		if l.Side != "" && l.Side != Port && l.Side != Starboard {
			f.add(path+".side", "fault.side", wording.Text(string(l.Side)))
		}
		if l.TempC != nil {
			f.number(path+".temp_c", *l.TempC, -40, 60)
		}
	}
	return f.err("lockers")
}

// FindLocker gives a locker by its id.
func FindLocker(lockers []Locker, id string) (Locker, bool) {
	k := slices.IndexFunc(lockers, func(l Locker) bool { return l.ID == id })
	if k < 0 {
		return Locker{}, false
	}
	return lockers[k], true
}
