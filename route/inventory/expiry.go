package inventory

import (
	"math"

	"hardtack/pricing/calendar"
)

// Expires is the moment, in days after start, up to which a lot can be eaten.
// A best-before date counts to the end of its day; without one the days an
// item keeps count from the day it was bought; with neither the lot is taken
// as half-way through them. An opened pack lasts opened days from the day it
// was opened, if that ends earlier; openedDays of 0 says that nothing is known.
func (l Lot) Expires(start calendar.Day, keepsDays, openedDays float64) float64 {
	end := keepsDays / 2
	switch {
	case !l.BestBefore.IsZero():
		end = float64(l.BestBefore-start) + 1
	case !l.Bought.IsZero():
		end = float64(l.Bought-start) + keepsDays
	}
	if !l.Opened.IsZero() && openedDays > 0 {
		end = math.Min(end, float64(l.Opened-start)+openedDays)
	}
	return end
}
