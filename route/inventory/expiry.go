package inventory

import "hardtack/pricing/calendar"

// Expires is the moment, in days after start, up to which a lot can be eaten.
// A best-before date counts to the end of its day; without one the days an
// item keeps count from the day it was bought; with neither the lot is taken
// as half-way through them.
func (l Lot) Expires(start calendar.Day, keepsDays float64) float64 {
	switch {
	case !l.BestBefore.IsZero():
		return float64(l.BestBefore-start) + 1
	case !l.Bought.IsZero():
		return float64(l.Bought-start) + keepsDays
	}
	return keepsDays / 2
}
