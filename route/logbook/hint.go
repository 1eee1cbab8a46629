package logbook

import (
	"slices"

	"hardtack/pricing"
	"hardtack/pricing/calendar"
)

// Hint is something of the log to think of before the next shopping.
type Hint struct {
	Kind  Kind           `json:"kind"` // wanted, pest or condition
	Item  pricing.ItemID `json:"item,omitempty"`
	Place string         `json:"place,omitempty"`
	Day   calendar.Day   `json:"day"`
	Note  string         `json:"note,omitempty"`
}

// Hints are what the log says of a stop where things are bought: what people
// at the places ahead wish for, what of the goods bought here was found in a bad
// way before, and pests in such goods or out of this port. Each is told once, as
// it was seen last.
func Hints(log []Entry, here string, ahead []string, buys func(pricing.ItemID) bool) []Hint {
	var out []Hint
	told := map[Hint]bool{}
	entries := Between(log, 0, 1<<30, Wanted, Condition, PestSeen)
	for k := len(entries) - 1; k >= 0; k-- {
		e := entries[k]
		fits := e.Item != "" && buys(e.Item)
		switch e.Kind {
		case Wanted:
			fits = slices.Contains(ahead, e.Place)
		case PestSeen:
			fits = fits || e.Place != "" && e.Place == here
		}
		h := Hint{e.Kind, e.Item, e.Place, 0, e.Note}
		if !fits || told[h] {
			continue
		}
		told[h] = true
		h.Day = e.Day
		out = append(out, h)
	}
	return out
}
