// Package tankage is the boat's water and gas: what the crew really uses, how
// long it lasts on passages of any length, and how water is made safe and gas
// handled, with cautions.
//
// Units: litres, kilograms, days, persons; a person counts whatever the age.
//
// It never plans with rain, and defers to local codes, authorities and licensed
// fitters.
package tankage

import (
	"cmp"
	"slices"

	"hardtack/pricing/calendar"
	"hardtack/route/inventory/usage"
	"hardtack/route/logbook"
)

// Heads is how many person-days were lived aboard between two days, guests not
// counted.
type Heads func(from, to calendar.Day) float64

// Water is what is believed of litres used per person and day, learned from
// readings of the tanks: between two, what was there and came, less what is
// left, was used. A stretch that came out negative was misread and says
// nothing. list is what is believed before, with its spread between crews.
func Water(log []logbook.Entry, heads Heads, today calendar.Day, list, spread float64) usage.Belief {
	levels := logbook.Between(log, 0, never, logbook.WaterLevel)
	var trips []usage.Trip
	for k := 1; k < len(levels); k++ {
		a, b := levels[k-1], levels[k]
		in := logbook.Sum(log, a.Day+1, b.Day, logbook.WaterFilled, logbook.WaterMade, logbook.Rain)
		out := logbook.Sum(log, a.Day+1, b.Day, logbook.WaterLost)
		used := a.Amount + in - out - b.Amount
		days := heads(a.Day, b.Day) + logbook.Sum(log, a.Day+1, b.Day, logbook.Guests)
		if b.Day > a.Day && used >= 0 && days > 0 {
			// An empty tank hid what more would have been used.
			trips = append(trips, usage.Trip{Used: used, PersonDays: days, RanOut: b.Amount == 0, AgeDays: float64(today - b.Day)})
		}
	}
	return usage.Learn(usage.ListPrior(list, spread, false, false), trips)
}

// never is later than any day of a log.
const never calendar.Day = 1 << 30

// Gas is what is believed of kilograms used per person and day, learned from
// the days cylinders were put on: each lasted until the next. The one in use
// has burnt at most what it holds, and says nothing yet.
func Gas(log []logbook.Entry, heads Heads, today calendar.Day, list, spread float64) usage.Belief {
	swaps := logbook.Between(log, 0, never, logbook.GasSwap)
	slices.SortStableFunc(swaps, func(a, b logbook.Entry) int { return cmp.Compare(a.Day, b.Day) })
	var trips []usage.Trip
	for k := 1; k < len(swaps); k++ {
		a, b := swaps[k-1], swaps[k]
		days := heads(a.Day, b.Day) + logbook.Sum(log, a.Day+1, b.Day, logbook.Guests)
		if b.Day > a.Day && days > 0 {
			trips = append(trips, usage.Trip{Used: a.Amount, PersonDays: days, AgeDays: float64(today - b.Day)})
		}
	}
	return usage.Learn(usage.ListPrior(list, spread, false, false), trips)
}
