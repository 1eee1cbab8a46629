package inventory

import (
	"hardtack/pricing"
	"hardtack/pricing/calendar"
)

// Look is how somebody found a thing: sprouting, soft, rusty.
type Look struct {
	Item  pricing.ItemID // empty: whatever lies at Place
	Place string         // empty: wherever it lies
	Day   calendar.Day
	Words string
}

// at says whether the look was at a lot, and not before it came aboard.
func (k Look) at(l Lot) bool {
	return (k.Item == l.Item || k.Item == "" && k.Place != "") && (k.Place == "" || k.Place == l.Locker || k.Place == l.Space) && k.Day >= l.Bought
}

// doubtful is within how many days what looked bad should be gone: judgement.
const doubtful = 2

// lookedAt is the last look at a lot, and how many days are left since then.
func lookedAt(l Lot, looks []Look, today calendar.Day) (last Look, left float64, ok bool) {
	for _, k := range looks {
		if k.at(l) && k.Day <= today && k.Day >= last.Day {
			last, ok = k, true
		}
	}
	return last, max(0, doubtful-float64(today-last.Day)), ok
}
