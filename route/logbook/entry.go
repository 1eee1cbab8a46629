// Package logbook is the stores' log of a passage: day by day, with the
// exceptions only, and what a season says when it is looked back on.
//
// Units: litres, kilograms, °C, person-days, days; money in the skipper's home
// currency.
package logbook

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strconv"

	"hardtack/pricing"
	"hardtack/pricing/calendar"
	"hardtack/pricing/wording"
)

// ErrInvalid is an entry that cannot be taken; nothing was changed.
var ErrInvalid = errors.New("invalid")

// Kind is what an entry tells.
type Kind string

// What is worth an entry. Amount is in the unit named.
const (
	WaterLevel  Kind = "water level"  // litres in the tanks, read
	WaterFilled Kind = "water filled" // litres taken on from ashore
	WaterMade   Kind = "water made"   // litres by the watermaker
	Rain        Kind = "rain"         // litres caught: a bonus, never planned
	WaterLost   Kind = "water lost"   // litres leaked or fouled
	GasSwap     Kind = "gas swap"     // kilograms in the cylinder that was put on
	GasFilled   Kind = "gas filled"   // kilograms filled into those that stood empty
	Guests      Kind = "guests"       // person-days eaten aboard by others than the crew
	Ashore      Kind = "ashore"       // person-days of food eaten ashore
	Temperature Kind = "temperature"  // °C, at Place
	Sailed      Kind = "passage"      // days the passage took that ended at Place, a port
	FridgeOff   Kind = "fridge off"   // hours without cold
	PestSeen    Kind = "pest"         // in Item at Place
	Condition   Kind = "condition"    // how Item at Place looks: sprouting, soft, rusty
	Wanted      Kind = "wanted"       // what people at Place wish for
	Kept        Kind = "plan"         // how far the plan was kept, and why not, in Note
	Remark      Kind = "remark"
)

// Kinds lists them all.
func Kinds() []Kind {
	return []Kind{
		WaterLevel, WaterFilled, WaterMade, Rain, WaterLost, GasSwap, GasFilled, Guests, Ashore, Temperature, Sailed, FridgeOff,
		PestSeen, Condition, Wanted, Kept, Remark,
	}
}

// measured are the kinds that are nothing without an amount, and its range.
var measured = map[Kind][2]float64{
	WaterLevel: {0, 20_000}, WaterFilled: {0, 20_000}, WaterMade: {0, 20_000}, Rain: {0, 20_000}, WaterLost: {0, 20_000},
	GasSwap: {0.1, 50}, GasFilled: {0.1, 500}, Guests: {0, 1000}, Ashore: {0, 1000}, Temperature: {-40, 60}, Sailed: {0.01, 365}, FridgeOff: {0, 10_000},
}

// Entry is one line of the log: written once, never changed.
type Entry struct {
	ID     string         `json:"id"`
	Day    calendar.Day   `json:"day"`
	Kind   Kind           `json:"kind"`
	Amount float64        `json:"amount,omitzero"`
	Place  string         `json:"place,omitempty"` // a locker, a space, a port
	Item   pricing.ItemID `json:"item,omitempty"`
	Note   string         `json:"note,omitempty"`
}

// Validate says what is wrong with an entry. Its error is ErrInvalid.
func (e Entry) Validate() error {
	bad := func(path, key string, facts ...wording.Fact) error {
		return fmt.Errorf("log: %w, nothing was changed: %w", ErrInvalid, errors.Join(fmt.Errorf("%s: %w", path, wording.Fail(key, facts...))))
	}
	figure := func(x float64) wording.Fact { return wording.Text(strconv.FormatFloat(x, 'f', -1, 64)) }
	kind, amount := wording.Text(string(e.Kind)), figure(e.Amount)
	limits, wants := measured[e.Kind]
	switch {
	case !slices.Contains(Kinds(), e.Kind):
		return bad("kind", "fault.one_of", kind, wording.Text(fmt.Sprint(Kinds())))
	case e.Day.IsZero():
		return bad("day", "fault.no_day")
	case math.IsNaN(e.Amount) || wants && (e.Amount < limits[0] || e.Amount > limits[1]):
		return bad("amount", "fault.range", amount, figure(limits[0]), figure(limits[1]))
	case !wants && e.Amount != 0:
		return bad("amount", "fault.nothing_of", amount, kind)
	case !wants && e.Note == "" && e.Item == "":
		return bad("note", "fault.needs_words", kind)
	}
	return nil
}

// Between are the entries of some kinds from one day to another, both
// included, in the order of their days.
func Between(log []Entry, from, to calendar.Day, kinds ...Kind) []Entry {
	var out []Entry
	for _, e := range log {
		if e.Day >= from && e.Day <= to && (len(kinds) == 0 || slices.Contains(kinds, e.Kind)) {
			out = append(out, e)
		}
	}
	slices.SortStableFunc(out, func(a, b Entry) int { return int(a.Day) - int(b.Day) })
	return out
}

// Sum adds up the amounts of some kinds from one day to another.
func Sum(log []Entry, from, to calendar.Day, kinds ...Kind) float64 {
	sum := 0.0
	for _, e := range Between(log, from, to, kinds...) {
		sum += e.Amount
	}
	return sum
}
